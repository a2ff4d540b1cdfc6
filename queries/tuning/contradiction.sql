-- title: Findings that say otherwise of the same device at the same visit
-- grain: one row a pair of findings, the one that stands first
-- key: finding_id, other_finding_id
-- reads: tuning.match, records.finding
-- params: none
-- source: chosen: of an older version the newer stands; of two findings matched to one reading the
--   later visit stands
-- caveat: the same words again are no contradiction
with versions as (
    select
        m.finding_id,
        o.finding_id as other_finding_id,
        m.reading_id,
        m.inspection_id,
        m.panel_id,
        m.position,
        m.finding,
        o.finding as other_finding,
        m.found_at,
        o.found_at as other_found_at,
        'older_version' as kind
    from tuning.match as m
    inner join records.finding as o using (inspection_id, panel_id, position)
    where not o.is_current and o.finding <> m.finding
),

rivals as (
    select
        m.finding_id,
        o.finding_id as other_finding_id,
        m.reading_id,
        m.inspection_id,
        m.panel_id,
        m.position,
        m.finding,
        o.finding as other_finding,
        m.found_at,
        o.found_at as other_found_at,
        'same_reading' as kind
    from tuning.match as m
    inner join tuning.match as o
        on o.reading_id = m.reading_id
        and (coalesce(o.found_at, '-infinity'), o.finding_id)
        < (coalesce(m.found_at, '-infinity'), m.finding_id)
    where m.set_aside is null and o.set_aside is null and o.finding <> m.finding
)

select * from versions
union all by name
select * from rivals
