-- title: The group of each make
-- grain: one row a level
-- key: make_id
-- reads: fitting.make_level, fitting.group_level
-- params: none
select make_id, group_id
from fitting.make_level
inner join fitting.group_level using (channel, device_class, is_multi_pole)
order by make_id
