-- title: The group of each rating
-- grain: one row a level
-- key: rating_id
-- reads: fitting.rating_level, fitting.group_level
-- params: none
select rating_id, group_id
from fitting.rating_level
inner join fitting.group_level using (channel, device_class, is_multi_pole)
order by rating_id
