-- title: Incoming readings without any trouble, as they are kept
-- grain: one row a kept reading
-- key: reading_id
-- reads: parsed_reading
-- params: $file_id, $sheet its sheet, $id_less_line what a line lacks to be the row's identity
-- caveat: random() only keeps the filter from being worked out a second time beneath the parsing;
--     rows with trouble, or repeated within the file, are seen to afterwards
with marked as (
    select *, is_kept and cells is null and random() >= 0e0 as is_plain from parsed_reading
)

select
    * exclude (is_kept, is_plain, surplus, is_short, cells),
    $id_less_line::bigint + line as reading_id,
    $file_id::integer as file_id,
    $sheet::varchar as sheet,
    true as is_current,
    parse_content(
        inspection_id, inspected_at, inspector_id, office_id, camera_id, clamp_id, site_id, panel_id,
        panel_location, panel_rated_a, ambient_degc, device_degc, termination_degc, conductor_degc,
        position, device_class, make, poles, rated_a, current_a, conductor_awg, conductor_material,
        emissivity, reflected_degc, load_minutes, note
    ) as content_hash
from marked
where is_plain
