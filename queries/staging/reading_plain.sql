-- title: Incoming readings whose cells are all plain, as they are kept
-- grain: one row a kept reading
-- key: reading_id
-- reads: incoming_reading
-- params: $unit temperature unit, $low, $high plausible range by column, $words tables of spellings,
--     $file_id, $sheet its sheet, $id_less_line what a line lacks to be the row's identity
-- caveat: the quick half of reading_parsed: a row that needs the careful half, or is in any trouble,
--     is left out and seen to afterwards. random() only keeps the filter from being worked out a
--     second time beneath the parsing. Not for files that write decimal commas.
with told as (select *, parse_unit(temp_unit_cell) as row_unit from incoming_reading),

typed as (
    select *,
        parse_dated_iso(inspected_at_cell) as inspected_at,
        parse_spelled(panel_location_cell, $words['panel_location']) as panel_location,
        parse_plain(panel_rated_a_cell, $low['panel_rated_a'], $high['panel_rated_a']) as panel_rated_a,
        parse_plain_degc(ambient_temp_cell, coalesce(row_unit, $unit['ambient_temp']), $low['ambient_temp'], $high['ambient_temp']) as ambient_degc,
        parse_plain_degc(device_temp_cell, coalesce(row_unit, $unit['device_temp']), $low['device_temp'], $high['device_temp']) as device_degc,
        parse_plain_degc(termination_temp_cell, coalesce(row_unit, $unit['termination_temp']), $low['termination_temp'], $high['termination_temp']) as termination_degc,
        parse_plain_degc(conductor_temp_cell, coalesce(row_unit, $unit['conductor_temp']), $low['conductor_temp'], $high['conductor_temp']) as conductor_degc,
        parse_plain_degc(reflected_temp_cell, coalesce(row_unit, $unit['reflected_temp']), $low['reflected_temp'], $high['reflected_temp']) as reflected_degc,
        parse_bounded(parse_slot_digits(position_cell), $low['position'], $high['position'])::integer as position,
        parse_spelled(device_class_cell, $words['device_class']) as device_class,
        case when poles_cell = '2' then 2 when poles_cell = '1' or poles_cell is null then 1 end::integer as poles,
        parse_plain(rated_a_cell, $low['rated_a'], $high['rated_a']) as rated_a,
        parse_plain(current_a_cell, $low['current_a'], $high['current_a']) as current_a,
        parse_wire(conductor_awg_cell) as conductor_awg,
        coalesce(parse_spelled(conductor_material_cell, $words['conductor_material']), case when strlen(conductor_awg_cell) > 3 then parse_wire_material(conductor_awg_cell) end) as conductor_material,
        parse_plain(emissivity_cell, $low['emissivity'], $high['emissivity']) as emissivity,
        parse_plain(load_minutes_cell, $low['load_minutes'], $high['load_minutes']) as load_minutes
    from told
),

judged as (
    select *,
        inspection_id_cell is not null and panel_id_cell is not null and inspected_at is not null
        and ambient_degc is not null and device_degc is not null and position is not null
        and device_class is not null and rated_a is not null and poles is not null
        and (temp_unit_cell is null or row_unit is not null)
        and (panel_location_cell is null or panel_location is not null)
        and (panel_rated_a_cell is null or panel_rated_a is not null)
        and (termination_temp_cell is null or termination_degc is not null)
        and (conductor_temp_cell is null or conductor_degc is not null)
        and (reflected_temp_cell is null or reflected_degc is not null)
        and (current_a_cell is null or current_a is not null)
        and (conductor_awg_cell is null or conductor_awg is not null)
        and (conductor_material_cell is null or conductor_material is not null)
        and (emissivity_cell is null or emissivity is not null)
        and (load_minutes_cell is null or load_minutes is not null)
        and random() >= 0e0 as is_plain
    from typed
)

select
    $id_less_line::bigint + line as reading_id, $file_id::integer as file_id, $sheet::varchar as sheet,
    line, true as is_current, inspection_id_cell as inspection_id, inspected_at,
    inspector_id_cell as inspector_id, office_id_cell as office_id, camera_id_cell as camera_id,
    clamp_id_cell as clamp_id, site_id_cell as site_id, panel_id_cell as panel_id, panel_location,
    panel_rated_a, ambient_degc, device_degc, termination_degc, conductor_degc, position,
    device_class, make_cell as make, poles, rated_a, current_a, conductor_awg, conductor_material,
    emissivity, reflected_degc, load_minutes, note_cell as note,
    parse_content(
        inspection_id_cell, inspected_at, inspector_id_cell, office_id_cell, camera_id_cell, clamp_id_cell,
        site_id_cell, panel_id_cell, panel_location, panel_rated_a, ambient_degc, device_degc,
        termination_degc, conductor_degc, position, device_class, make_cell, poles, rated_a, current_a,
        conductor_awg, conductor_material, emissivity, reflected_degc, load_minutes, note_cell
    ) as content_hash
from judged
where is_plain
