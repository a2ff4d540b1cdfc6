-- title: What the baseline in force knows of each class, poles and channel
-- grain: one row a channel, class and one pole or several
-- key: channel, device_class, is_multi_pole
-- reads: baseline.group_parameter, baseline.cell, records.baseline_version
-- params: none
-- caveat: spread is that of one healthy reading at 20, 50 and 80 % of rating, without what the
--   panel leaves open; standard errors hold the exponent and the partially pooled effects; that of
--   the exponent is its channel's, null in a baseline of an earlier program
with in_force as (
    select parameters from records.baseline_version
    order by fitted_at desc
    limit 1
),

told as (
    select unnest(from_json(
        json_extract(parameters, '$.classes'),
        '[{"channel": "VARCHAR", "device_class": "VARCHAR", "is_multi_pole": "BOOLEAN",
           "reading_count": "BIGINT"}]'), recursive := true)
    from in_force
),

spread as (
    select
        p.group_id,
        x.load_fraction,
        c.scale * sqrt(
            pow(band_spread_k(p.noise_k, p.noise_share, p.gain_k * pow(x.load_fraction, p.exponent), 0e0), 2)
            + pow(p.gain_k_se * pow(x.load_fraction, p.exponent), 2)) as spread_k
    from baseline.group_parameter as p
    cross join (select unnest([0.2e0, 0.5e0, 0.8e0]) as load_fraction) as x
    inner join baseline.cell as c
        on c.group_id = p.group_id and c.load_band = load_band(x.load_fraction)
)

select
    p.channel,
    p.device_class,
    p.is_multi_pole,
    coalesce(t.reading_count, 0) as reading_count,
    p.offset_k,
    p.offset_k_se,
    p.gain_k,
    p.gain_k_se,
    p.exponent,
    json_extract(f.parameters, '$.exponent_sds.' || p.channel)::double as exponent_sd,
    p.floor_slope,
    p.floor_slope_se,
    p.neighbour_slope,
    p.neighbour_slope_se,
    p.across_slope,
    p.across_slope_se,
    p.main_slope,
    p.main_slope_se,
    p.noise_k,
    p.noise_share,
    low.spread_k as spread_20_k,
    mid.spread_k as spread_50_k,
    high.spread_k as spread_80_k
from baseline.group_parameter as p
left join in_force as f on true
left join told as t using (channel, device_class, is_multi_pole)
inner join spread as low on low.group_id = p.group_id and low.load_fraction = 0.2e0
inner join spread as mid on mid.group_id = p.group_id and mid.load_fraction = 0.5e0
inner join spread as high on high.group_id = p.group_id and high.load_fraction = 0.8e0
order by
    list_position(['face', 'termination', 'conductor'], p.channel),
    p.device_class, p.is_multi_pole
