-- title: Marks on kept readings of which a cell could not be read
-- grain: one row a mark
-- reads: row_fault, rule, records.reading
-- params: $file_id
-- source: the catalogue of rules
-- caveat: the cell itself was left empty
select
    f.row_id as reading_id,
    f.column_name,
    f.code,
    replace(
        replace(r.sentence, '{column}', coalesce(f.column_name, 'the row')),
        '{cell}', coalesce(left(f.cell, 200), '')
    ) as sentence
from row_fault as f
inner join rule as r using (code)
semi join records.reading as k on k.reading_id = f.row_id and k.file_id = $file_id
where f.is_kept and r.kind = 'recheck'
