-- title: Residual sums of each camera and quarter over its visits
-- grain: one row a camera and quarter
-- key: camera_level_id
-- reads: fitting.visit_sum
-- params: $visit_variance variance of the visit effect [K^2]
-- source: the visit effect integrated out, so that camera and visit do not chase each other
select
    camera_level_id,
    count(*) as visit_count,
    fsum(w / (1e0 + w * $visit_variance::double)) as w,
    fsum(w_e / (1e0 + w * $visit_variance::double)) as w_e,
    fsum(w_a / (1e0 + w * $visit_variance::double)) as w_a,
    fsum(w_f / (1e0 + w * $visit_variance::double)) as w_f,
    fsum(w_aa - w_a * w_a * $visit_variance::double / (1e0 + w * $visit_variance::double)) as w_aa,
    fsum(w_af - w_a * w_f * $visit_variance::double / (1e0 + w * $visit_variance::double)) as w_af,
    fsum(w_ff - w_f * w_f * $visit_variance::double / (1e0 + w * $visit_variance::double)) as w_ff,
    fsum(w_ae - w_a * w_e * $visit_variance::double / (1e0 + w * $visit_variance::double)) as w_ae,
    fsum(w_fe - w_f * w_e * $visit_variance::double / (1e0 + w * $visit_variance::double)) as w_fe
from fitting.visit_sum
group by camera_level_id
order by camera_level_id
