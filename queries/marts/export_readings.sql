-- title: The readings in force, as exported
-- grain: one row a current reading
-- key: inspection_id, panel_id, position
-- reads: records.reading, records.source_file
-- params: none
-- caveat: temperatures in °C whatever the sheet said; superseded rows are left out
select
    r.* exclude (reading_id, file_id, sheet, line, content_hash, is_current),
    f.file_name,
    r.sheet,
    r.line
from records.reading as r
left join records.source_file as f using (file_id)
where r.is_current
order by r.inspection_id, r.panel_id, r.position, r.reading_id
