-- title: Incoming readings that are kept
-- grain: one row a kept reading
-- key: reading_id
-- reads: parsed_reading, known_reading
-- params: $file_id, $sheet its sheet, $id_less_line what a line lacks to be the row's identity,
--     $line_less_rowid what a row of the table lacks to be its line
-- caveat: rows repeated within the file are taken out afterwards
with numbered as (
    select * exclude (line, is_kept, surplus, is_short, cells),
        $id_less_line::bigint + coalesce(line, $line_less_rowid::bigint + rowid) as reading_id,
        coalesce(line, $line_less_rowid::bigint + rowid) as line,
        parse_content(
            inspection_id, inspected_at, inspector_id, office_id, camera_id, clamp_id, site_id,
            panel_id, panel_location, panel_rated_a, ambient_degc, device_degc, termination_degc,
            conductor_degc, position, device_class, make, poles, rated_a, current_a, conductor_awg,
            conductor_material, emissivity, reflected_degc, load_minutes, note
        ) as content_hash
    from parsed_reading
    where is_kept
)

select
    numbered.*,
    $file_id::integer as file_id,
    $sheet::varchar as sheet,
    true as is_current
from numbered
anti join known_reading using (content_hash)
