-- title: The ratings within each group
-- grain: one row a level
-- key: rating_id
-- reads: fitting.kind_met
-- params: none
select row_number() over (order by channel, device_class, is_multi_pole, rated_a) as rating_id, *
from (
    select distinct channel, device_class, is_multi_pole, rated_a
    from fitting.kind_met
    where is_taught
)
