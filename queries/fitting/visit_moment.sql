-- title: Moments of the visit effect, within the visits of a camera and quarter
-- grain: one row
-- key: none
-- reads: fitting.visit_sum
-- params: $offset_step_k and $floor_step how far all offsets [K] and all floor slopes [1] moved since
--   the sums were taken
-- source: analysis of variance with unequal weights; Searle, Casella & McCulloch 1992, from memory
-- caveat: a camera with one visit a quarter tells nothing: its own effect and its visit's are one
with moved as (
    select
        camera_level_id,
        w,
        w_e - w_a * $offset_step_k::double - w_f * $floor_step::double as w_e
    from fitting.visit_sum
    where w > 0
),

level as (
    select
        count(*) - 1 as freedom,
        fsum(w) as w,
        fsum(w) - fsum(w * w) / fsum(w) as w_within,
        fsum(w_e * w_e / w) - pow(fsum(w_e), 2) / fsum(w) as w_ee_within
    from moved
    group by camera_level_id
)

select
    coalesce(sum(freedom), 0) as freedom,
    coalesce(fsum(w), 0e0) / greatest(sum(freedom + 1), 1) as w_mean,
    coalesce(fsum(w_within), 0e0) as w_within,
    coalesce(fsum(w_ee_within), 0e0) as w_ee_within
from level
