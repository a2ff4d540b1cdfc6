-- title: The clamped readings of a span of visits with the kind that the baseline knows them by
-- grain: one row a reading and channel
-- key: reading_id, channel
-- reads: normalise.measure, fitting.kind, fitting.camera_level
-- params: $floor_k_default what stands for a floor that cannot be told [K], $first_visit, $last_visit
-- caveat: a camera that the baseline has not met is null and has no effect
select
    m.reading_id,
    m.visit_id,
    m.quarter,
    k.channel,
    k.kind_id,
    k.make_id,
    k.rating_id,
    q.camera_level_id,
    m.channel_rise_k,
    m.load_fraction,
    not m.is_recheck and k.group_id is not null as is_taught,
    not m.is_odd as is_telling,
    coalesce(m.floor_k, $floor_k_default::double) as floor_k,
    m.neighbour_k,
    m.across_k,
    m.main_k
from channels('normalise.measure') as m
inner join fitting.kind as k
    using (channel, device_class, is_multi_pole, make, rated_a, shelter_level, minute_band)
left join fitting.camera_level as q using (camera_id, quarter)
where m.visit_id between $first_visit::bigint and $last_visit::bigint
