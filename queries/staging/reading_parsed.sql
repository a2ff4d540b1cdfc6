-- title: Incoming readings, parsed
-- grain: one row an incoming row, in the order of the file
-- reads: incoming_reading, spelling
-- params: $is_comma whether the file writes decimal commas, $date_order 'dmy' or 'mdy',
--     $unit temperature unit by column, $low, $high plausible range by column
-- source: units by NIST SP 811; ranges from the nomenclature
-- caveat: a row without a required value is here too, with is_kept false and its cells
with told as (
    select *, parse_unit(temp_unit_cell) as row_unit from incoming_reading
),

typed as (
    select
        told.*,
        parse_dated(inspected_at_cell, $date_order) as inspected_at,
        location.meaning as panel_location,
        class.meaning as device_class,
        temp_unit_cell is not null and row_unit is null as is_unit_unknown,
        parse_amperes(panel_rated_a_cell, $is_comma, $low['panel_rated_a'], $high['panel_rated_a']) as panel_rated_a,
        parse_degc(ambient_temp_cell, $is_comma, coalesce(row_unit, $unit['ambient_temp']), $low['ambient_temp'], $high['ambient_temp']) as ambient_degc,
        parse_degc(device_temp_cell, $is_comma, coalesce(row_unit, $unit['device_temp']), $low['device_temp'], $high['device_temp']) as device_degc,
        parse_degc(termination_temp_cell, $is_comma, coalesce(row_unit, $unit['termination_temp']), $low['termination_temp'], $high['termination_temp']) as termination_degc,
        parse_degc(conductor_temp_cell, $is_comma, coalesce(row_unit, $unit['conductor_temp']), $low['conductor_temp'], $high['conductor_temp']) as conductor_degc,
        parse_degc(reflected_temp_cell, $is_comma, coalesce(row_unit, $unit['reflected_temp']), $low['reflected_temp'], $high['reflected_temp']) as reflected_degc,
        coalesce(
            parse_bounded(parse_slot(position_cell), $low['position'], $high['position']),
            case when position_cell is null and class.meaning = 'main' then 0 end
        )::integer as position,
        parse_bounded(
            coalesce(parse_integral(parse_number(poles_cell, $is_comma)), parse_poles(poles_cell)),
            $low['poles'], $high['poles']
        ) as poles_told,
        parse_bounded(parse_rated(rated_a_cell, $is_comma), $low['rated_a'], $high['rated_a']) as rated_a,
        parse_amperes(current_a_cell, $is_comma, $low['current_a'], $high['current_a']) as current_a,
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
)

select
    *,
    inspection_id_cell is not null and panel_id_cell is not null and inspected_at is not null
    and ambient_degc is not null and device_degc is not null and position is not null
    and device_class is not null and rated_a is not null and not is_unit_unknown
    and surplus is null as is_kept,
    coalesce(
        poles_told,
        case when parse_number(rated_a_cell, $is_comma) is null then parse_poles(rated_a_cell) end,
        case when strlen(position_cell) > 2 then parse_slot_poles(position_cell) end,
        1
    )::integer as poles
from typed
