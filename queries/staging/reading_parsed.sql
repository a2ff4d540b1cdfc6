-- title: Incoming readings, parsed
-- grain: one row an incoming row, in the order of the file
-- reads: incoming_reading
-- params: $is_comma whether the file writes decimal commas, $date_order 'dmy' or 'mdy',
--     $unit temperature unit, $low, $high plausible range by column, $words tables of spellings
-- caveat: rows that lack a required value are here too; cells hold the text of rows with trouble
with told as (select *, parse_unit(temp_unit_cell) as row_unit from incoming_reading),

typed as (
    select
        told.*,
        parse_dated(inspected_at_cell, $date_order) as inspected_at,
        parse_spelled(panel_location_cell, $words['panel_location']) as panel_location,
        parse_spelled(device_class_cell, $words['device_class']) as device_class,
        parse_quantity_a(panel_rated_a_cell, $is_comma) as panel_a,
        parse_warmth(ambient_temp_cell, $is_comma, coalesce(row_unit, $unit['ambient_temp'])) as ambient,
        parse_warmth(device_temp_cell, $is_comma, coalesce(row_unit, $unit['device_temp'])) as device,
        parse_warmth(termination_temp_cell, $is_comma, coalesce(row_unit, $unit['termination_temp'])) as termination,
        parse_warmth(conductor_temp_cell, $is_comma, coalesce(row_unit, $unit['conductor_temp'])) as conductor,
        parse_warmth(reflected_temp_cell, $is_comma, coalesce(row_unit, $unit['reflected_temp'])) as reflected,
        parse_slot(position_cell) as slot_told,
        parse_told_poles(poles_cell, rated_a_cell, position_cell) as poles,
        parse_rated(rated_a_cell, $is_comma) as rated,
        parse_quantity_a(current_a_cell, $is_comma) as current,
        parse_wire(conductor_awg_cell) as conductor_awg,
        coalesce(parse_spelled(conductor_material_cell, $words['conductor_material']), case when strlen(conductor_awg_cell) > 3 then parse_wire_material(conductor_awg_cell) end) as conductor_material,
        parse_share(emissivity_cell, $is_comma) as share,
        parse_running(load_minutes_cell, $is_comma) as minutes
    from told
),

bounded as (
    select *,
        parse_bounded(panel_a, $low['panel_rated_a'], $high['panel_rated_a']) as panel_rated_a,
        parse_bounded(ambient, $low['ambient_temp'], $high['ambient_temp']) as ambient_degc,
        parse_bounded(device, $low['device_temp'], $high['device_temp']) as device_degc,
        parse_bounded(termination, $low['termination_temp'], $high['termination_temp']) as termination_degc,
        parse_bounded(conductor, $low['conductor_temp'], $high['conductor_temp']) as conductor_degc,
        parse_bounded(reflected, $low['reflected_temp'], $high['reflected_temp']) as reflected_degc,
        parse_bounded(coalesce(slot_told, case when device_class = 'main' and (parse_empty(position_cell) or parse_spelled(position_cell, $words['device_class']) = 'main') then 0 end), $low['position'], $high['position'])::integer as position,
        parse_bounded(rated, $low['rated_a'], $high['rated_a']) as rated_a,
        parse_bounded(current, $low['current_a'], $high['current_a']) as current_a,
        parse_bounded(share, $low['emissivity'], $high['emissivity']) as emissivity,
        parse_bounded(minutes, $low['load_minutes'], $high['load_minutes']) as load_minutes
    from typed
),

judged as (
    select *,
        inspection_id_cell is not null and panel_id_cell is not null and inspected_at is not null
        and ambient_degc is not null and device_degc is not null and position is not null
        and device_class is not null and rated_a is not null and surplus is null
        and case when row_unit is null then parse_empty(temp_unit_cell) else true end as is_kept,
        is_short or parse_lost(panel_location_cell, panel_location)
        or parse_lost(panel_rated_a_cell, panel_rated_a) or parse_lost(termination_temp_cell, termination_degc)
        or parse_lost(conductor_temp_cell, conductor_degc) or parse_lost(reflected_temp_cell, reflected_degc)
        or parse_lost(poles_cell, poles) or parse_lost(current_a_cell, current_a)
        or parse_lost(conductor_awg_cell, conductor_awg) or parse_lost(conductor_material_cell, conductor_material)
        or parse_lost(emissivity_cell, emissivity) or parse_lost(load_minutes_cell, load_minutes) as has_lost_cell
    from bounded
)

select
    line, is_kept, surplus, is_short, inspection_id_cell as inspection_id, inspected_at,
    inspector_id_cell as inspector_id, office_id_cell as office_id, camera_id_cell as camera_id,
    clamp_id_cell as clamp_id, site_id_cell as site_id, panel_id_cell as panel_id, panel_location,
    panel_rated_a, ambient_degc, device_degc, termination_degc, conductor_degc, position,
    device_class, make_cell as make, coalesce(poles, 1)::integer as poles, rated_a, current_a,
    conductor_awg, conductor_material, emissivity, reflected_degc, load_minutes, note_cell as note,
    case when not is_kept or has_lost_cell then [
        inspection_id_cell, inspected_at_cell, inspector_id_cell, office_id_cell, camera_id_cell, clamp_id_cell,
        site_id_cell, panel_id_cell, panel_location_cell, panel_rated_a_cell, ambient_temp_cell, device_temp_cell,
        termination_temp_cell, conductor_temp_cell, position_cell, device_class_cell, make_cell, poles_cell,
        rated_a_cell, current_a_cell, conductor_awg_cell, conductor_material_cell, emissivity_cell,
        reflected_temp_cell, load_minutes_cell, note_cell, temp_unit_cell
    ] end as cells
from judged
