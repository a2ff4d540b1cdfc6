-- title: The makes within each group
-- grain: one row a level
-- key: make_id
-- reads: fitting.kind_met
-- params: none
select row_number() over (order by channel, device_class, is_multi_pole, make) as make_id, *
from (
    select distinct channel, device_class, is_multi_pole, make
    from fitting.kind_met
    where is_taught
)
