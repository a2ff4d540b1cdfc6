-- title: How often a device this warm turns out suspect once it is clamped
-- grain: one row a class, pole count and band of two kelvins above the floor
-- key: device_class, is_multi_pole, warm_band
-- reads: judging.evidence, normalise.measure
-- params: $calibration_intercept, $calibration_slope of the log odds of a fault [1]
-- caveat: for readings without current only; ten readings of a rare fault stand in every band
select
    m.device_class,
    m.is_multi_pole,
    least(greatest(floor((m.rise_k - coalesce(m.floor_k, 0e0)) / 2e0), -3), 20)::integer
        as warm_band,
    (0.1e0 + fsum(recalibrated(
        e.material_odds / (1e0 + e.odds), $calibration_intercept::double, $calibration_slope::double
    ))) / (10e0 + count(*)) as suspect_share,
    count(*) as reading_count
from judging.evidence as e
inner join normalise.measure as m using (reading_id)
where e.is_taught
group by all
