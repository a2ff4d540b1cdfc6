-- title: Content hashes of the kept readings, worked out anew
-- grain: one row a reading
-- key: row_id
-- reads: records.reading
-- params: none
-- caveat: none
select
    reading_id as row_id,
    parse_content(
        inspection_id, inspected_at, inspector_id, office_id, camera_id, clamp_id, site_id, panel_id,
        panel_location, panel_rated_a, ambient_degc, device_degc, termination_degc, conductor_degc,
        position, device_class, make, poles, rated_a, current_a, conductor_awg, conductor_material,
        emissivity, reflected_degc, load_minutes, note
    ) as content_hash
from records.reading
