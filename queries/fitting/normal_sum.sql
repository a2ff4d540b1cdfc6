-- title: Sums of the weighted normal equations
-- grain: one row a group
-- key: group_id
-- reads: fitting.predicted
-- params: none
-- source: Gauss-Newton for seven coefficients (1, h load, f floor, b beside, c across, o open,
--   p open times load) and z, the derivative by the exponent
-- caveat: fsum, so that the same rows give the same bits whatever the threads do
with terms as (
    select
        group_id,
        weight as w,
        load_shape as h,
        floor_k as f,
        neighbour_k as b,
        across_k as c,
        open_count as o,
        open_count * load_shape as p,
        load_rise_k * log_load as z,
        residual_k as e,
        weight > 0 as is_counted
    from fitting.predicted
)

select
    group_id,
    count(*) as reading_count,
    count(*) filter (where is_counted) as counted,
    fsum(w) as w, fsum(w * h) as w_h, fsum(w * f) as w_f, fsum(w * b) as w_b,
    fsum(w * c) as w_c, fsum(w * o) as w_o, fsum(w * p) as w_p, fsum(w * h * h) as w_hh,
    fsum(w * h * f) as w_hf, fsum(w * h * b) as w_hb, fsum(w * h * c) as w_hc,
    fsum(w * h * o) as w_ho, fsum(w * h * p) as w_hp, fsum(w * f * f) as w_ff,
    fsum(w * f * b) as w_fb, fsum(w * f * c) as w_fc, fsum(w * f * o) as w_fo,
    fsum(w * f * p) as w_fp, fsum(w * b * b) as w_bb, fsum(w * b * c) as w_bc,
    fsum(w * b * o) as w_bo, fsum(w * b * p) as w_bp, fsum(w * c * c) as w_cc,
    fsum(w * c * o) as w_co, fsum(w * c * p) as w_cp, fsum(w * o * o) as w_oo,
    fsum(w * o * p) as w_op, fsum(w * p * p) as w_pp, fsum(w * z) as w_z,
    fsum(w * h * z) as w_hz, fsum(w * f * z) as w_fz, fsum(w * b * z) as w_bz,
    fsum(w * c * z) as w_cz, fsum(w * o * z) as w_oz, fsum(w * p * z) as w_pz,
    fsum(w * z * z) as w_zz, fsum(w * e) as w_e, fsum(w * h * e) as w_he,
    fsum(w * f * e) as w_fe, fsum(w * b * e) as w_be, fsum(w * c * e) as w_ce,
    fsum(w * o * e) as w_oe, fsum(w * p * e) as w_pe, fsum(w * z * e) as w_ze
from terms
group by group_id
order by group_id
