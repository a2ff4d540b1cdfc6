-- Hash of all values of a reading; temperatures to 0.001 K, so that °F and °C of one value agree.
create or replace temp macro parse_content(
    inspection_id, inspected_at, inspector_id, office_id, camera_id, clamp_id, site_id, panel_id,
    panel_location, panel_rated_a, ambient_degc, device_degc, termination_degc, conductor_degc, slot,
    device_class, make, poles, rated_a, current_a, conductor_awg, conductor_material, emissivity,
    reflected_degc, load_minutes, note
) as hash(
    inspection_id, inspected_at, inspector_id, office_id, camera_id, clamp_id, site_id, panel_id,
    panel_location, panel_rated_a, cast(ambient_degc * 1000 as integer),
    cast(device_degc * 1000 as integer), cast(termination_degc * 1000 as integer),
    cast(conductor_degc * 1000 as integer), slot, device_class, make, poles, rated_a, current_a,
    conductor_awg, conductor_material, emissivity, cast(reflected_degc * 1000 as integer),
    load_minutes, note
)
