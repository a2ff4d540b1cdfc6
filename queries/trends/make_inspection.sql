-- title: How hot for their current the devices of a make ran in each inspection
-- grain: one row an inspection and make
-- key: inspection_id, make
-- reads: trends.reading
-- params: none
-- source: heat ratio against all makes, weighted by its precision, pulled in at 0.3 and 3 so that a
--   fault does not speak for its make
-- caveat: from a fifth of the rating on; below, the heat says nothing of the current
select
    inspection_id,
    make,
    min(quarter_index) as quarter_index,
    count(*)::integer as reading_count,
    fsum(ratio_weight * greatest(least(make_ratio, 3e0), 0.3e0)) / fsum(ratio_weight) as ratio
from trends.reading
where make_ratio is not null and not is_recheck and not is_over
group by inspection_id, make
order by quarter_index, inspection_id, make
