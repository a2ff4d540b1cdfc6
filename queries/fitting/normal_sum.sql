-- title: Sums of the weighted normal equations
-- grain: one row a group
-- key: group_id
-- reads: fitting.standing
-- params: none
-- source: Gauss-Newton for six coefficients (a shelter, h load, f floor, b beside, c across, m under
--   the main) and z, the derivative by the exponent
-- caveat: fsum, so that the same rows give the same bits whatever the threads do
with terms as (
    select
        group_id,
        weight as w,
        shelter as a,
        load_shape as h,
        floor_k as f,
        shelter * neighbour_k as b,
        shelter * across_k as c,
        shelter * main_k as m,
        load_rise_k * log_load as z,
        residual_k as e,
        weight > 0 as is_counted
    from fitting.standing
)

select
    group_id,
    count(*) as reading_count,
    count(*) filter (where is_counted) as counted,
    fsum(w * a * a) as w_aa, fsum(w * a * h) as w_ah, fsum(w * a * f) as w_af,
    fsum(w * a * b) as w_ab, fsum(w * a * c) as w_ac, fsum(w * a * m) as w_am,
    fsum(w * h * h) as w_hh, fsum(w * h * f) as w_hf, fsum(w * h * b) as w_hb,
    fsum(w * h * c) as w_hc, fsum(w * h * m) as w_hm, fsum(w * f * f) as w_ff,
    fsum(w * f * b) as w_fb, fsum(w * f * c) as w_fc, fsum(w * f * m) as w_fm,
    fsum(w * b * b) as w_bb, fsum(w * b * c) as w_bc, fsum(w * b * m) as w_bm,
    fsum(w * c * c) as w_cc, fsum(w * c * m) as w_cm, fsum(w * m * m) as w_mm,
    fsum(w * a * z) as w_az, fsum(w * h * z) as w_hz, fsum(w * f * z) as w_fz,
    fsum(w * b * z) as w_bz, fsum(w * c * z) as w_cz, fsum(w * m * z) as w_mz,
    fsum(w * z * z) as w_zz, fsum(w * a * e) as w_ae, fsum(w * h * e) as w_he,
    fsum(w * f * e) as w_fe, fsum(w * b * e) as w_be, fsum(w * c * e) as w_ce,
    fsum(w * m * e) as w_me, fsum(w * z * e) as w_ze
from terms
group by group_id
order by group_id
