-- title: The rows that teach the baseline
-- grain: one row a reading and channel
-- key: reading_id, channel
-- reads: normalise.measure, fitting.clamp_share, fitting.kind, fitting.camera_level
-- params: $floor_k_default what stands for a floor that cannot be told [K],
--   $is_weighted 1 to weight by 1 / share clamped, 0 not to
-- caveat: the logarithm of the load is 0 at no load, where its factor is 0 too
select
    m.reading_id,
    m.visit_id,
    k.channel,
    k.kind_id,
    k.make_id,
    k.rating_id,
    q.camera_level_id,
    m.channel_rise_k,
    m.load_fraction,
    true as is_taught,
    true as is_telling,
    case when m.load_fraction > 0 then ln(m.load_fraction) else 0e0 end as log_load,
    coalesce(m.floor_k, $floor_k_default::double) as floor_k,
    m.neighbour_k,
    m.across_k,
    m.main_k,
    case when $is_weighted::integer = 1 then 1e0 / s.clamp_share else 1e0 end as design_weight
from channels('normalise.measure') as m
inner join fitting.kind as k
    using (channel, device_class, is_multi_pole, make, rated_a, shelter_level, minute_band)
inner join fitting.camera_level as q using (camera_id, quarter)
inner join fitting.clamp_share as s
    on s.device_class = m.device_class and s.is_multi_pole = m.is_multi_pole
    and s.warm_band
    = least(greatest(floor((m.rise_k - coalesce(m.floor_k, 0e0)) / 2e0), -3), 10)::integer
where not m.is_recheck
