-- title: Reasons why rows of a file were not kept or were marked
-- grain: one row a reason
-- reads: records.quarantine, records.recheck, records.reading
-- params: $file_id, $most how many are wanted
-- caveat: cut off after so many
select 'quarantine' as kind, sheet, line, column_name, cell, code, sentence
from records.quarantine
where file_id = $file_id
union all
select 'recheck', r.sheet, r.line, m.column_name, null, m.code, m.sentence
from records.recheck as m
inner join records.reading as r using (reading_id)
where r.file_id = $file_id
order by sheet nulls first, line, kind, column_name, code
limit $most
