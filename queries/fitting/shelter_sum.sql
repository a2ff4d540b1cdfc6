-- title: Residual sums of each way of being hemmed in
-- grain: one row a level that has readings
-- key: shelter_id
-- reads: fitting.predicted
-- params: none
select
    shelter_id,
    count(*) as reading_count,
    fsum(weight * bare_rise_k * bare_rise_k) as w_bb,
    fsum(weight * bare_rise_k * residual_k) as w_be
from fitting.predicted
group by shelter_id
order by shelter_id
