-- title: The outline of each visit of a panel that a file tells of
-- grain: one row a visit
-- key: inspection_id, panel_id
-- reads: records.reading, touched_visit
-- params: none
-- source: chosen: the limits of panel_mark, stray_mark and slot_mark, none of which a visit within
--     them can pass
-- caveat: extremes only, which one misread row can shift; what is usual is told by visit_shape
select
    inspection_id,
    panel_id,
    count(*) as reading_count,
    min(device_degc - ambient_degc) as lowest_rise_k,
    max(ambient_degc) - min(ambient_degc) > 3e0
    or min(ambient_degc) < 2e0
    or min(device_degc - ambient_degc) not between 0e0 and 18e0
    or max(device_degc - ambient_degc) >= 40e0
    or max(inspected_at) - min(inspected_at) > interval 48 hours
    or max(position) > 42 as is_odd,
    sum(case when position > 0 then least(poles, 2) else 1 end)
    > bit_count(bit_or(
        (1::hugeint << position)
        | case when position > 0 and poles > 1 then 1::hugeint << (position + 2) else 0::hugeint end
    )) as is_overlapping
from records.reading
semi join touched_visit using (inspection_id, panel_id)
where is_current
group by inspection_id, panel_id
