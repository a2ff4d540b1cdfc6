-- title: Incoming findings that are kept
-- grain: one row a kept finding
-- key: finding_id
-- reads: parsed_finding, known_finding
-- params: $file_id, $sheet its sheet, $id_less_line what a line lacks to be the row's identity,
--     $line_less_rowid what a row of the table lacks to be its line
-- caveat: rows repeated within the file are taken out afterwards
with numbered as (
    select * exclude (line, is_kept, surplus, is_short, cells),
        $id_less_line::bigint + coalesce(line, $line_less_rowid::bigint + rowid) as finding_id,
        coalesce(line, $line_less_rowid::bigint + rowid) as line,
        hash(
            inspection_id, panel_id, position, found_at, finding, examined_by_licensed, note
        ) as content_hash
    from parsed_finding
    where is_kept
)

select
    numbered.*,
    $file_id::integer as file_id,
    $sheet::varchar as sheet,
    true as is_current
from numbered
anti join known_finding using (content_hash)
