-- title: Incoming readings, parsed
-- grain: one row an incoming row, in the order of the file
-- reads: incoming_reading, spelling
-- params: $is_comma whether the file writes decimal commas, $date_order 'dmy' or 'mdy',
--     $unit temperature unit by column, $low, $high plausible range by column
-- source: units by NIST SP 811; ranges from the nomenclature
-- caveat: a row that lacks a required value is here too, with is_kept false; cells hold the text
--     of rows with any trouble, in the order of the incoming columns
with told as (
    select *, parse_unit(temp_unit_cell) as row_unit from incoming_reading
),

typed as (
    select
        told.*,
        parse_dated(inspected_at_cell, $date_order) as inspected_at,
        location.meaning as panel_location,
        class.meaning as device_class,
        parse_quantity_a(panel_rated_a_cell, $is_comma, $low['panel_rated_a'], $high['panel_rated_a']) as panel_rated_a,
        parse_warmth_degc(ambient_temp_cell, $is_comma, coalesce(row_unit, $unit['ambient_temp']), $low['ambient_temp'], $high['ambient_temp']) as ambient_degc,
        parse_warmth_degc(device_temp_cell, $is_comma, coalesce(row_unit, $unit['device_temp']), $low['device_temp'], $high['device_temp']) as device_degc,
        parse_warmth_degc(termination_temp_cell, $is_comma, coalesce(row_unit, $unit['termination_temp']), $low['termination_temp'], $high['termination_temp']) as termination_degc,
        parse_warmth_degc(conductor_temp_cell, $is_comma, coalesce(row_unit, $unit['conductor_temp']), $low['conductor_temp'], $high['conductor_temp']) as conductor_degc,
        parse_warmth_degc(reflected_temp_cell, $is_comma, coalesce(row_unit, $unit['reflected_temp']), $low['reflected_temp'], $high['reflected_temp']) as reflected_degc,
        coalesce(
            parse_bounded(parse_slot(position_cell), $low['position'], $high['position']),
            case when position_cell is null and class.meaning = 'main' then 0 end
        )::integer as position,
        parse_bounded(parse_rated(rated_a_cell, $is_comma), $low['rated_a'], $high['rated_a']) as rated_a,
        parse_quantity_a(current_a_cell, $is_comma, $low['current_a'], $high['current_a']) as current_a,
        parse_wire(conductor_awg_cell) as conductor_awg,
        coalesce(
            material.meaning,
            case when strlen(conductor_awg_cell) > 3 then parse_wire_material(conductor_awg_cell) end
        ) as conductor_material,
        parse_bounded(parse_share(emissivity_cell, $is_comma), $low['emissivity'], $high['emissivity']) as emissivity,
        parse_bounded(parse_running(load_minutes_cell, $is_comma), $low['load_minutes'], $high['load_minutes']) as load_minutes
    from told
    left join spelling as class
        on class.kind = 'device_class' and class.spelling = parse_spelled(device_class_cell)
    left join spelling as location
        on location.kind = 'panel_location' and location.spelling = parse_spelled(panel_location_cell)
    left join spelling as material
        on material.kind = 'conductor_material' and material.spelling = parse_spelled(conductor_material_cell)
),

judged as (
    select
        *,
        inspection_id_cell is not null and panel_id_cell is not null and inspected_at is not null
        and ambient_degc is not null and device_degc is not null and position is not null
        and device_class is not null and rated_a is not null and surplus is null
        and (temp_unit_cell is null or row_unit is not null) as is_kept,
        is_short
        or (panel_location is null and panel_location_cell is not null)
        or (panel_rated_a is null and panel_rated_a_cell is not null)
        or (termination_degc is null and termination_temp_cell is not null)
        or (conductor_degc is null and conductor_temp_cell is not null)
        or (reflected_degc is null and reflected_temp_cell is not null)
        or (poles_cell is not null and parse_told_poles(poles_cell, '0', null) = 1 and poles_cell <> '1')
        or (current_a is null and current_a_cell is not null)
        or (conductor_awg is null and conductor_awg_cell is not null)
        or (conductor_material is null and conductor_material_cell is not null)
        or (emissivity is null and emissivity_cell is not null)
        or (load_minutes is null and load_minutes_cell is not null) as has_lost_cell
    from typed
)

select
    line, is_kept, surplus, is_short,
    inspection_id_cell as inspection_id, inspected_at, inspector_id_cell as inspector_id,
    office_id_cell as office_id, camera_id_cell as camera_id, clamp_id_cell as clamp_id,
    site_id_cell as site_id, panel_id_cell as panel_id, panel_location, panel_rated_a,
    ambient_degc, device_degc, termination_degc, conductor_degc, position, device_class,
    make_cell as make, parse_told_poles(poles_cell, rated_a_cell, position_cell)::integer as poles,
    rated_a, current_a, conductor_awg, conductor_material, emissivity, reflected_degc, load_minutes,
    note_cell as note,
    case
        when not is_kept or has_lost_cell then [
            inspection_id_cell, inspected_at_cell, inspector_id_cell, office_id_cell, camera_id_cell,
            clamp_id_cell, site_id_cell, panel_id_cell, panel_location_cell, panel_rated_a_cell,
            ambient_temp_cell, device_temp_cell, termination_temp_cell, conductor_temp_cell,
            position_cell, device_class_cell, make_cell, poles_cell, rated_a_cell, current_a_cell,
            conductor_awg_cell, conductor_material_cell, emissivity_cell, reflected_temp_cell,
            load_minutes_cell, note_cell, temp_unit_cell
        ]
    end as cells
from judged
