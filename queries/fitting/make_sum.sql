-- title: Residual sums of each make within its group
-- grain: one row a level
-- key: make_id
-- reads: fitting.kind_sum
-- params: none
select
    make_id,
    any_value(channel) as channel,
    sum(reading_count) as reading_count,
    fsum(shelter * shelter * w) as w,
    fsum(shelter * w_e) as w_e,
    fsum(w_ll) as w_ll,
    fsum(w_le) as w_le,
    fsum(shelter * w_l) as w_l
from fitting.kind_sum
group by make_id
order by make_id
