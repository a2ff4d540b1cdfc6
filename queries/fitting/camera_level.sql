-- title: Each camera in each quarter
-- grain: one row a level
-- key: camera_level_id
-- reads: normalise.measure
-- params: none
select row_number() over (order by camera_id, quarter) as camera_level_id, *
from (select distinct camera_id, quarter from normalise.measure)
