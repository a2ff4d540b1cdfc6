-- title: What is usual in each visit that is odd in some way
-- grain: one row a visit
-- key: inspection_id, panel_id
-- reads: records.reading, visit_outline
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
    median(inspected_at) as inspected_at
from records.reading
semi join (from visit_outline where is_odd) as odd using (inspection_id, panel_id)
where is_current
group by inspection_id, panel_id
