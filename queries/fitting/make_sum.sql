-- title: Residual sums of each make within its group
-- grain: one row a level
-- key: make_id
-- reads: fitting.predicted
-- params: none
select
    make_id,
    any_value(channel) as channel,
    count(*) as reading_count,
    fsum(weight * shelter * shelter) as w,
    fsum(weight * shelter * residual_k) as w_e,
    fsum(weight * load_rise_k * load_rise_k) as w_ll,
    fsum(weight * load_rise_k * residual_k) as w_le,
    fsum(weight * shelter * load_rise_k) as w_l
from fitting.predicted
group by make_id
order by make_id
