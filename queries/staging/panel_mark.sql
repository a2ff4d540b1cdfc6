-- title: Readings whose temperatures contradict the others of their panel
-- grain: one row a reading and code
-- key: reading_id, column_name, code
-- reads: records.reading, visit_shape
-- params: $file_id, $has_fahrenheit, $has_celsius whether the file holds °F, °C
-- source: limits chosen as the catalogue of rules says
-- caveat: a panel with fewer than three readings says little
with placed as (
    select
        r.reading_id, r.ambient_degc, r.device_degc, r.panel_location,
        r.device_degc - r.ambient_degc as rise_k,
        1.8e0 * r.device_degc + 32e0 as device_number,
        1.8e0 * r.ambient_degc + 32e0 as ambient_number,
        (r.device_degc - 32e0) / 1.8e0 as other_device_degc,
        coalesce(r.current_a / r.rated_a, 0e0) as load_fraction,
        coalesce(r.termination_degc - r.ambient_degc, 0e0) as termination_rise_k,
        v.reading_count, v.ambient_degc as panel_degc, v.rise_k as panel_rise_k, v.lowest_rise_k,
        greatest(3e0, 6e0 * v.ambient_spread_k) as slack_k,
        case when v.lowest_rise_k[1] < -5e0 then v.lowest_rise_k[2] else v.lowest_rise_k[1] end as floor_k
    from records.reading as r
    inner join visit_shape as v using (inspection_id, panel_id)
    where r.file_id = $file_id and r.is_current
),

flagged as (
    select *,
        rise_k < -5e0 as is_below,
        reading_count > 1 and abs(ambient_degc - panel_degc) > slack_k as is_unlike,
        reading_count >= 4 and floor_k >= 18e0 as panel_all_too_warm,
        reading_count >= 4 and panel_rise_k < -3e0 as panel_below_ambient,
        panel_location in ('basement', 'utility') and ambient_degc < 2e0 as cold_indoors,
        reading_count >= 5 and rise_k between -5e0 and 0e0 and lowest_rise_k[2] - rise_k > 4e0 as device_below_panel,
        $has_celsius::boolean and rise_k >= 40e0 and load_fraction < 0.3e0
            and other_device_degc - ambient_degc between floor_k - 3e0 and floor_k + 25e0
            and termination_rise_k < 0.5e0 * rise_k as is_device_fahrenheit
    from placed
),

told as (
    select *,
        $has_fahrenheit::boolean and reading_count >= 3 and is_unlike
            and abs(ambient_number - panel_degc) <= slack_k as is_ambient_celsius,
        $has_fahrenheit::boolean and rise_k < -12e0 and not panel_below_ambient
            and device_number - panel_degc between -3e0 and 60e0 as is_device_celsius,
        is_below and is_unlike and reading_count >= 3
            and abs(device_degc - panel_degc) <= slack_k as is_swapped
    from flagged
    where is_below or is_unlike or panel_all_too_warm or panel_below_ambient or cold_indoors
        or device_below_panel or is_device_fahrenheit
)

select reading_id, mark.column_name, mark.code, mark.value, mark.other
from (
    select reading_id, unnest(list_filter([
        case when is_swapped then parse_mark('ambient_temp', 'ambient_and_device_swapped', round(ambient_degc, 1), round(device_degc, 1)) end,
        case when is_ambient_celsius and not is_swapped then parse_mark('ambient_temp', 'celsius_in_fahrenheit', round(ambient_degc, 1), round(ambient_number, 1)) end,
        case when is_device_celsius and not is_swapped then parse_mark('device_temp', 'celsius_in_fahrenheit', round(device_degc, 1), round(device_number, 1)) end,
        case when is_device_fahrenheit then parse_mark('device_temp', 'fahrenheit_in_celsius', round(device_degc, 1), round(other_device_degc, 1)) end,
        case when is_below and not is_swapped and not is_device_celsius then parse_mark('device_temp', 'device_below_ambient', round(-rise_k, 1), null) end,
        case when is_unlike and not is_swapped and not is_ambient_celsius then parse_mark('ambient_temp', 'ambient_unlike_panel', round(ambient_degc, 1), round(panel_degc, 1)) end,
        case when panel_all_too_warm then parse_mark('ambient_temp', 'panel_all_too_warm', round(floor_k, 1), round(panel_degc, 1)) end,
        case when panel_below_ambient then parse_mark('ambient_temp', 'panel_below_ambient', round(-panel_rise_k, 1), round(panel_degc, 1)) end,
        case when cold_indoors then parse_mark('ambient_temp', 'cold_indoors', round(ambient_degc, 1), panel_location) end,
        case when device_below_panel then parse_mark('device_temp', 'device_below_panel', round(lowest_rise_k[2] - rise_k, 1), round(panel_degc, 1)) end
    ], lambda m: m is not null)) as mark
    from told
)
