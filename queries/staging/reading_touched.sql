-- title: Visits that a file tells of
-- grain: one row a visit
-- key: inspection_id, panel_id
-- reads: records.reading
-- params: $file_id
-- caveat: none
select distinct inspection_id, panel_id
from records.reading
where file_id = $file_id
