-- title: Residuals weighed by the chance that the reading is healthy
-- grain: one row a group, load band and bin of a twentieth of a spread
-- key: group_id, load_band, residual_bin
-- reads: fitting.residual, fitting.cell, fitting.group_level, fitting.mixture
-- params: none
-- caveat: faults leave the tails by their odds, not by a cut
select
    r.group_id,
    r.load_band,
    least(greatest(floor(20e0 * (r.standard_residual - c.center) / c.scale), -240), 240)::integer
        as residual_bin,
    count(*) as reading_count,
    fsum(1e0 / (1e0 + fault_odds(
        (r.standard_residual - c.center) / (c.scale * m.tail_scale),
        r.load_rise_k / (r.spread_k * c.scale * m.tail_scale),
        m.freedom, m.ratios, m.weights))) as healthy_count
from fitting.residual as r
inner join fitting.cell as c using (group_id, load_band)
inner join fitting.group_level as g using (group_id)
inner join fitting.mixture as m on m.is_multi_pole = g.is_multi_pole
group by r.group_id, r.load_band, residual_bin
order by r.group_id, r.load_band, residual_bin
