-- title: The groups that have a baseline of their own
-- grain: one row a level
-- key: group_id
-- reads: normalise.channel, normalise.measure
-- params: none
select row_number() over (order by channel, device_class, is_multi_pole) as group_id, *
from (
    select distinct channel, device_class, is_multi_pole
    from normalise.channel
    inner join normalise.measure using (reading_id)
    where not is_recheck
)
