-- title: Leave-one-out residuals in healthy spreads
-- grain: one row a reading and channel
-- key: reading_id, channel
-- reads: judging.laid, fitting.cell
-- params: $visit_variance variance of the visit effect [K^2], $tuning of the robust weight [1]
select
    r.*,
    load_band(r.load_fraction) as load_band,
    c.center,
    c.scale,
    c.lower,
    c.upper,
    (r.residual_k / r.spread_k - c.center) / c.scale as z,
    r.load_rise_k / (r.spread_k * c.scale) as load_size
from left_out('judging.laid', $visit_variance::double, $tuning::double) as r
left join fitting.cell as c
    on c.group_id = r.group_id and c.load_band = load_band(r.load_fraction)
