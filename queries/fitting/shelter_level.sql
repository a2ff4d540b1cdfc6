-- title: The ways a device is hemmed in by its neighbours
-- grain: one row a level
-- key: shelter_id
-- reads: none
-- params: none
-- caveat: level 0 has neighbours on all sides; 1 and 2 count the open ends of its column, 3 more
--   where the other column is open beside it, 6 more under the main
select row_number() over (order by channel, pole_family, shelter_level) as shelter_id, *
from (
    select
        unnest(['face', 'termination', 'conductor']) as channel
) as c
cross join (select unnest(['one_pole', 'two_pole', 'main']) as pole_family) as p
cross join (select unnest(range(12)) as shelter_level) as s
