-- title: What is common to all readings of a visit: the panel's inside air, the ambient's error
-- grain: one row a visit
-- key: visit_id
-- reads: fitting.visit_sum, fitting.camera_step
-- params: $visit_variance variance of the visit effect [K^2], $offset_step_k and $floor_step how far
--   all offsets [K] and all floor slopes [1] moved since the sums were taken
-- source: best linear unbiased prediction; Robinson 1991
-- caveat: a reading must not judge itself; screening takes it out again
with moved as (
    select
        visit_id,
        w,
        w_e - w * step_k - w_a * $offset_step_k::double - w_f * $floor_step::double as w_e
    from fitting.visit_sum
    inner join fitting.camera_step using (camera_level_id)
)

select *, w_e / (w + 1e0 / $visit_variance::double) as offset_k
from moved
