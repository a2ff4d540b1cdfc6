-- title: Residual sums of each rating within its group
-- grain: one row a level
-- key: rating_id
-- reads: fitting.kind_sum
-- params: none
select
    rating_id,
    any_value(channel) as channel,
    sum(reading_count) as reading_count,
    fsum(w) as w,
    fsum(w_e) as w_e,
    fsum(w_ll) as w_ll,
    fsum(w_le) as w_le,
    fsum(w_l) as w_l
from fitting.kind_sum
group by rating_id
order by rating_id
