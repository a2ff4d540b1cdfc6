-- title: Every clamped reading with the baseline's levels
-- grain: one row a reading and channel
-- key: reading_id, channel
-- reads: normalise.channel, normalise.measure, fitting.group_level, fitting.make_level,
--   fitting.rating_level, fitting.camera_level, fitting.shelter_level
-- params: $floor_k_default what stands for a floor that cannot be told [K]
-- caveat: a level that the baseline has not met is null and has no effect
select
    c.reading_id,
    c.channel,
    m.visit_id,
    g.group_id,
    k.make_id,
    a.rating_id,
    q.camera_level_id,
    m.minute_band,
    c.channel_rise_k,
    m.load_fraction,
    not m.is_recheck and g.group_id is not null as is_taught,
    not m.is_odd as is_telling,
    coalesce(m.floor_k, $floor_k_default::double) as floor_k,
    m.neighbour_k,
    m.across_k,
    m.main_k,
    s.shelter_id
from normalise.channel as c
inner join normalise.measure as m using (reading_id)
left join fitting.group_level as g using (channel, device_class, is_multi_pole)
inner join fitting.shelter_level as s
    on s.channel = c.channel and s.shelter_level = m.shelter_level
    and s.pole_family = pole_family(m.device_class, m.is_multi_pole)
left join fitting.make_level as k using (channel, device_class, is_multi_pole, make)
left join fitting.rating_level as a using (channel, device_class, is_multi_pole, rated_a)
left join fitting.camera_level as q using (camera_id, quarter)
