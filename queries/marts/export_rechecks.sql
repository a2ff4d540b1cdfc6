-- title: Marks on kept readings, as exported
-- grain: one row a mark
-- key: none
-- reads: records.recheck, records.reading, records.source_file
-- params: none
-- caveat: a mark says that a rule noticed something, not what is right
select
    r.inspection_id,
    r.panel_id,
    r.position,
    m.column_name,
    m.code,
    m.sentence,
    f.file_name,
    r.sheet,
    r.line,
    r.is_current
from records.recheck as m
inner join records.reading as r using (reading_id)
left join records.source_file as f using (file_id)
order by
    r.inspection_id, r.panel_id, r.position, r.reading_id, m.column_name nulls first, m.code
