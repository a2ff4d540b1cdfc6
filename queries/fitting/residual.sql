-- title: Leave-one-out residuals of the rows that taught the baseline
-- grain: one row a reading and channel
-- key: reading_id, channel
-- reads: fitting.laid
-- params: $visit_variance variance of the visit effect [K^2], $tuning of the robust weight [1]
select
    reading_id,
    channel,
    group_id,
    load_fraction,
    load_rise_k,
    spread_k,
    residual_k / spread_k as standard_residual,
    load_band(load_fraction) as load_band
from left_out('fitting.laid', $visit_variance::double, $tuning::double)
