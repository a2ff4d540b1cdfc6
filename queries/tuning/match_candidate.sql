-- title: Readings that a finding may speak of
-- grain: one row a finding and a reading it may speak of
-- key: finding_id, reading_id
-- reads: tuning.finding, normalise.reading
-- params: $most_days that an electrician may come after the scan [d]
-- source: chosen: the same inspection, panel and slot is sure; another slot of the same device, or the
--   panel and slot with a date, is a guess to be confirmed
-- caveat: a guess by date needs a date, and no reading of that inspection and panel
with slotted as (
    select
        reading_id,
        inspection_id,
        panel_id,
        inspected_at,
        position as first_slot,
        unnest(case when position > 0
            then range(position, position + 2 * greatest(poles, 1), 2)
            else [position] end) as slot
    from normalise.reading
),

visited as (
    select f.*, v.panel_id is not null as is_visited
    from tuning.finding as f
    left join (select distinct inspection_id, panel_id from normalise.reading) as v
        using (inspection_id, panel_id)
)

select
    f.finding_id,
    s.reading_id,
    s.inspected_at,
    case
        when s.inspection_id = f.inspection_id and s.first_slot = f.position then 'key'
        when s.inspection_id = f.inspection_id then 'slot'
        else 'date'
    end as matched_by,
    case when f.found_at is not null
        then date_diff('day', s.inspected_at, f.found_at) end as day_count
from visited as f
inner join slotted as s on s.panel_id = f.panel_id and s.slot = f.position
where s.inspection_id = f.inspection_id
    or (
        not f.is_visited
        and f.found_at >= date_trunc('day', s.inspected_at)
        and date_diff('day', s.inspected_at, f.found_at) <= $most_days::integer
    )
