-- title: Rows that were not kept, with their reasons, as exported
-- grain: one row a reason
-- key: none
-- reads: records.quarantine, records.source_file
-- params: none
-- caveat: a row with two reasons stands here twice
select
    f.file_name,
    q.sheet,
    q.line,
    q.column_name,
    q.cell,
    q.code,
    q.sentence,
    q.row_text
from records.quarantine as q
left join records.source_file as f using (file_id)
order by f.file_id, q.sheet nulls first, q.line, q.column_name nulls first, q.code, q.cell
