-- title: The levels that each kind of device belongs to
-- grain: one row a kind
-- key: kind_id
-- reads: fitting.kind_met, fitting.group_level, fitting.make_level, fitting.rating_level,
--   fitting.shelter_level
-- params: none
-- caveat: a level that the baseline has not met is null and has no effect
select
    k.*,
    g.group_id,
    m.make_id,
    r.rating_id,
    s.shelter_id
from fitting.kind_met as k
left join fitting.group_level as g using (channel, device_class, is_multi_pole)
left join fitting.make_level as m using (channel, device_class, is_multi_pole, make)
left join fitting.rating_level as r using (channel, device_class, is_multi_pole, rated_a)
inner join fitting.shelter_level as s
    on s.channel = k.channel and s.shelter_level = k.shelter_level
    and s.pole_family = pole_family(k.device_class, k.is_multi_pole)
