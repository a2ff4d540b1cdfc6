-- title: How residuals and load-driven rises fall together
-- grain: one row a pole family, at a working load or not, bin of residual and bin of load-driven rise
-- key: family, is_working, residual_bin, load_bin
-- reads: fitting.residual, fitting.cell, fitting.group_level
-- params: $working_share of rating from which a load counts as working [1]
-- caveat: face only; tenths of a spread, quarters of an octave, ends open
select
    pole_family(g.device_class, g.is_multi_pole) as family,
    r.load_fraction >= $working_share::double as is_working,
    least(greatest(floor(10e0 * (r.standard_residual - c.center) / c.scale), -150), 600)::integer
        as residual_bin,
    least(greatest(floor(
        4e0 * log2(greatest(r.load_rise_k / (r.spread_k * c.scale), 1e-3))), -16), 28)::integer
        as load_bin,
    count(*) as reading_count
from fitting.residual as r
inner join fitting.cell as c using (group_id, load_band)
inner join fitting.group_level as g using (group_id)
where r.channel = 'face'
group by all
order by all
