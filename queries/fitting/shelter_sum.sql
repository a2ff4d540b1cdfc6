-- title: Residual sums of each way of being hemmed in
-- grain: one row a level that has readings
-- key: shelter_id
-- reads: fitting.kind_sum
-- params: none
select
    shelter_id,
    sum(reading_count) as reading_count,
    fsum(w_bb) as w_bb,
    fsum(w_be) as w_be
from fitting.kind_sum
group by shelter_id
order by shelter_id
