-- title: Sums of the weighted normal equations
-- grain: one row a group
-- key: group_id
-- reads: fitting.predicted
-- params: none
-- source: Gauss-Newton for offset, gain, floor and neighbour slopes and the exponent
-- caveat: fsum, so that the same rows give the same bits whatever the threads do
with terms as (
    select
        group_id,
        weight as w,
        load_shape as h,
        floor_k as f,
        neighbour_k as b,
        load_rise_k * log_load as z,
        residual_k as e,
        weight > 0 as is_counted
    from fitting.predicted
)

select
    group_id,
    count(*) as reading_count,
    count(*) filter (where is_counted) as counted,
    fsum(w) as w,
    fsum(w * h) as w_h,
    fsum(w * f) as w_f,
    fsum(w * b) as w_b,
    fsum(w * h * h) as w_hh,
    fsum(w * h * f) as w_hf,
    fsum(w * h * b) as w_hb,
    fsum(w * f * f) as w_ff,
    fsum(w * f * b) as w_fb,
    fsum(w * b * b) as w_bb,
    fsum(w * z) as w_z,
    fsum(w * h * z) as w_hz,
    fsum(w * f * z) as w_fz,
    fsum(w * b * z) as w_bz,
    fsum(w * z * z) as w_zz,
    fsum(w * e) as w_e,
    fsum(w * h * e) as w_he,
    fsum(w * f * e) as w_fe,
    fsum(w * b * e) as w_be,
    fsum(w * z * e) as w_ze
from terms
group by group_id
order by group_id
