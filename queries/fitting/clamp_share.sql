-- title: How often a device this warm is clamped
-- grain: one row a class, pole count and band of two kelvins above the floor
-- key: device_class, is_multi_pole, warm_band
-- reads: normalise.measure
-- params: $least_share lower bound of the share, so that no row weighs too much [1]
-- source: inverse-probability weights; Horvitz & Thompson 1952
-- caveat: assumes that, at one warmth, who is clamped does not depend on the current
select
    device_class,
    is_multi_pole,
    least(greatest(floor((rise_k - coalesce(floor_k, 0e0)) / 2e0), -3), 10)::integer as warm_band,
    greatest(avg((load_fraction is not null)::integer), $least_share::double) as clamp_share,
    count(*) as reading_count
from normalise.measure
where not is_recheck
group by all
