-- title: The kinds of device that were clamped: all that the baseline tells apart but load and place
-- grain: one row a kind
-- key: kind_id
-- reads: normalise.measure
-- params: none
-- caveat: a kind of rechecked readings alone teaches nothing but is judged
select
    row_number() over (
        order by channel, device_class, is_multi_pole, make, rated_a, shelter_level, minute_band
    ) as kind_id,
    *
from (
    select
        channel, device_class, is_multi_pole, make, rated_a, shelter_level, minute_band,
        bool_or(not is_recheck) as is_taught
    from channels('normalise.measure')
    group by all
)
