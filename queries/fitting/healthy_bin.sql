-- title: Residuals weighed by the chance that the reading is healthy
-- grain: one row a group, load band and bin of a twentieth of a spread
-- key: group_id, load_band, residual_bin
-- reads: fitting.residual, fitting.cell, fitting.group_level, fitting.mixture
-- params: none
-- caveat: faults leave the tails by their odds, not by a cut
with standardised as (
    select
        r.group_id,
        r.load_band,
        (r.standard_residual - c.center) / c.scale as z,
        (r.standard_residual - c.center) / (c.scale * m.tail_scale) as tail_z,
        r.load_rise_k / (r.spread_k * c.scale * m.tail_scale) as tail_size,
        m.temper * (m.freedom + 1e0) / 2e0 as power,
        m.*
    from fitting.residual as r
    inner join fitting.cell as c using (group_id, load_band)
    inner join fitting.group_level as g using (group_id)
    inner join fitting.mixture as m on m.pole_family = pole_family(g.device_class, g.is_multi_pole)
        and m.is_working = (r.load_fraction >= m.working_share)
),

likened as (
    select
        *,
        fault_likelihoods(
            tail_z * tail_z, tail_z * tail_size, tail_size * tail_size, freedom, power, ratios)
            as likelihoods
    from standardised
)

select
    group_id,
    load_band,
    least(greatest(floor(20e0 * z), -240), 240)::integer as residual_bin,
    count(*) as reading_count,
    fsum(1e0 - list_inner_product(fault_weights, likelihoods)
        / (1e0 + list_inner_product(weights, likelihoods))) as healthy_count
from likened
group by group_id, load_band, residual_bin
order by group_id, load_band, residual_bin
