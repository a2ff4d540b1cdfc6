-- Hash of all values of a reading; temperatures to 0.001 K, so that °F and °C of one value agree.
create or replace temp macro parse_content(
    inspection_id, inspected_at, inspector_id, office_id, camera_id, clamp_id, site_id, panel_id,
    panel_location, panel_rated_a, ambient_degc, device_degc, termination_degc, conductor_degc, slot,
    device_class, make, poles, rated_a, current_a, conductor_awg, conductor_material, emissivity,
    reflected_degc, load_minutes, note
) as hash(
    inspection_id, inspected_at, inspector_id, office_id, camera_id, clamp_id, site_id, panel_id,
    panel_location, panel_rated_a, round(ambient_degc, 3), round(device_degc, 3),
    round(termination_degc, 3), round(conductor_degc, 3), slot, device_class, make, poles, rated_a,
    current_a, conductor_awg, conductor_material, emissivity, round(reflected_degc, 3), load_minutes, note
)
