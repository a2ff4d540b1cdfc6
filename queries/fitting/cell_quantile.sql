-- title: Middle and quartiles of the standardised residuals
-- grain: one row a group and load band
-- key: group_id, load_band
-- reads: fitting.residual
-- params: none
-- caveat: quartiles, since faults sit in the upper tail
select
    group_id,
    load_band,
    count(*) as reading_count,
    quantile_cont(standard_residual, 0.25) as lower_quartile,
    median(standard_residual) as middle,
    quantile_cont(standard_residual, 0.75) as upper_quartile
from fitting.residual
group by group_id, load_band
order by group_id, load_band
