-- title: The groups that have a baseline of their own: every class, met or not
-- grain: one row a level
-- key: group_id
-- reads: none
-- params: $device_classes the nomenclature's classes
-- caveat: a class that no reading has taught is what its prior says
select row_number() over (order by channel, device_class, is_multi_pole) as group_id, *
from (select unnest(['face', 'termination', 'conductor']) as channel) as c
cross join (select unnest($device_classes::varchar[]) as device_class) as d
cross join (select unnest([false, true]) as is_multi_pole) as p
