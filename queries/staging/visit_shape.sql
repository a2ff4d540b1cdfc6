-- title: What is usual in each visit of a panel that a file tells of
-- grain: one row a visit
-- key: inspection_id, panel_id
-- reads: records.reading, touched_visit
-- params: none
-- source: medians and the median absolute deviation times 1.4826 withstand a few misread rows
-- caveat: with one or two readings there is nothing to compare
select
    inspection_id,
    panel_id,
    count(*) as reading_count,
    median(ambient_degc) as ambient_degc,
    1.4826e0 * mad(ambient_degc) as ambient_spread_k,
    min(device_degc - ambient_degc, 2) as lowest_rise_k,
    median(device_degc - ambient_degc) as rise_k,
    max(position, 2) as last_position,
    median(inspected_at) as inspected_at,
    sum(case when position > 0 then least(poles, 2) else 1 end)
        > bit_count(bit_or(
            (1::hugeint << position)
            | case when position > 0 and poles > 1 then 1::hugeint << (position + 2) else 0::hugeint end
        )) as is_overlapping
from records.reading
semi join touched_visit using (inspection_id, panel_id)
where is_current
group by inspection_id, panel_id
