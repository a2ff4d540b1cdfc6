-- title: Visits that a file tells of
-- grain: one row a visit
-- key: inspection_id, panel_id
-- reads: records.finding
-- params: $file_id
-- caveat: none
select distinct inspection_id, panel_id
from records.finding
where file_id = $file_id
