-- title: Findings that say otherwise of the same device at the same visit
-- grain: one row a finding that does not stand, beside the one that does
-- key: finding_id, other_finding_id
-- reads: tuning.match, tuning.reading_finding, records.finding
-- params: none
-- source: chosen: a later row of the same day and slot corrects the former; of two examinations
--   tuning.reading_finding says which stands
-- caveat: the same words again are no contradiction; the day of an older version is that of the newer
with versions as (
    select m.*, o.finding_id as other_finding_id, o.finding as other_finding,
        o.found_at as other_found_at, 'corrected' as kind
    from tuning.match as m
    inner join records.finding as o
        on o.inspection_id = m.inspection_id and o.panel_id = m.panel_id
        and o.position = m.position and o.found_at is not distinct from m.found_at
    where not o.is_current and o.finding <> m.finding
),

rivals as (
    select m.*, o.finding_id as other_finding_id, o.finding as other_finding,
        o.found_at as other_found_at,
        case
            when o.found_at > m.found_at then 'found_before'
            when m.found_at > o.found_at then 'later'
            when finding_rank(o.finding) < finding_rank(m.finding) then 'found_over'
            else 'later'
        end as kind
    from tuning.match as m
    inner join tuning.reading_finding as r using (finding_id)
    inner join tuning.match as o on o.reading_id = r.reading_id and o.set_aside is null
    where o.finding_id <> m.finding_id and o.finding <> m.finding
)

select
    finding_id, other_finding_id, reading_id, inspection_id, panel_id, position, finding,
    other_finding, found_at, other_found_at, kind
from (from versions union all by name from rivals)
