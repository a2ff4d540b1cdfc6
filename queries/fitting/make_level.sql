-- title: The makes within each group
-- grain: one row a level
-- key: make_id
-- reads: normalise.channel, normalise.measure
-- params: none
select row_number() over (order by channel, device_class, is_multi_pole, make) as make_id, *
from (
    select distinct channel, device_class, is_multi_pole, make
    from normalise.channel
    inner join normalise.measure using (reading_id)
    where not is_recheck
)
