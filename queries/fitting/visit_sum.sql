-- title: Residual sums of each visit, its own effect put back
-- grain: one row a visit
-- key: visit_id
-- reads: fitting.standing
-- params: none
-- source: a offset's regressor, f floor [K], e residual [K]; w weight [1/K^2]
select
    visit_id,
    min(camera_level_id) as camera_level_id,
    fsum(weight) as w,
    fsum(weight * (residual_k + visit_k)) as w_e,
    fsum(weight * shelter) as w_a,
    fsum(weight * floor_k) as w_f,
    fsum(weight * shelter * shelter) as w_aa,
    fsum(weight * shelter * floor_k) as w_af,
    fsum(weight * floor_k * floor_k) as w_ff,
    fsum(weight * shelter * (residual_k + visit_k)) as w_ae,
    fsum(weight * floor_k * (residual_k + visit_k)) as w_fe
from fitting.standing
group by visit_id
