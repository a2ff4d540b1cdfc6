-- title: The ratings within each group
-- grain: one row a level
-- key: rating_id
-- reads: normalise.channel, normalise.measure
-- params: none
select row_number() over (order by channel, device_class, is_multi_pole, rated_a) as rating_id, *
from (
    select distinct channel, device_class, is_multi_pole, rated_a
    from normalise.channel
    inner join normalise.measure using (reading_id)
    where not is_recheck
)
