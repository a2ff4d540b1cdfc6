-- title: Rows that cannot be kept, a row for each reason
-- grain: one row a reason
-- reads: row_fault, rule
-- params: $file_id, $sheet
-- source: the catalogue of rules
-- caveat: cells of a row that is not kept count only where they are the reason; of a long cell a
--   sentence has the first 200 letters
select
    $file_id::integer as file_id,
    $sheet::varchar as sheet,
    f.line,
    f.column_name,
    f.cell,
    f.code,
    replace(
        replace(r.sentence, '{column}', coalesce(f.column_name, 'the row')),
        '{cell}', coalesce(left(f.cell, 200), '')
    ) as sentence,
    f.row_text
from row_fault as f
inner join rule as r using (code)
where not f.is_kept and r.kind = 'quarantine'
