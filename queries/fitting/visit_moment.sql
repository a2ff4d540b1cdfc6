-- title: Moments of the visit effect
-- grain: one row
-- key: none
-- reads: fitting.visit_sum, fitting.camera_step
-- params: $offset_step_k and $floor_step how far all offsets [K] and all floor slopes [1] moved since
--   the sums were taken
-- source: moments as in DerSimonian & Laird 1986; Gao & Owen 2020 for crossed effects
select
    count(*) as visit_count,
    fsum(w) as w,
    fsum(
        w * pow((w_e - w_a * $offset_step_k::double - w_f * $floor_step::double) / w - step_k, 2)
    ) as w_ee
from fitting.visit_sum
inner join fitting.camera_step using (camera_level_id)
where w > 0
