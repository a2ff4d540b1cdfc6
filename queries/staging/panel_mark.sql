-- title: Readings that contradict the others of their panel
-- grain: one row a reading and code
-- key: reading_id, code
-- reads: records.reading, visit_shape
-- params: $file_id, $has_fahrenheit whether the file holds °F, $early_at, $late_at nearly all dates
--     of the file lie between, $current_decimals what its currents are read to
-- source: limits chosen as the catalogue of rules says
-- caveat: a panel with fewer than three readings says little
with placed as (
    select
        r.*,
        r.device_degc - r.ambient_degc as rise_k,
        1.8e0 * r.device_degc + 32e0 as device_number,
        1.8e0 * r.ambient_degc + 32e0 as ambient_number,
        v.reading_count, v.ambient_degc as panel_ambient_degc, v.rise_k as panel_rise_k,
        v.lowest_rise_k, v.last_position, v.inspected_at as panel_inspected_at,
        greatest(3e0, 6e0 * v.ambient_spread_k) as ambient_slack_k,
        case
            when v.lowest_rise_k[1] < -5e0 then v.lowest_rise_k[2] else v.lowest_rise_k[1]
        end as floor_k
    from records.reading as r
    inner join visit_shape as v using (inspection_id, panel_id)
    where r.file_id = $file_id and r.is_current
),

flagged as (
    select *,
        rise_k < -5e0 as is_below,
        reading_count > 1 and abs(ambient_degc - panel_ambient_degc) > ambient_slack_k as is_unlike,
        reading_count >= 4 and floor_k >= 18e0 as panel_all_too_warm,
        reading_count >= 4 and panel_rise_k < -3e0 as panel_below_ambient,
        panel_location in ('basement', 'utility') and ambient_degc < 2e0 as cold_indoors,
        reading_count >= 5 and rise_k < -2e0 and lowest_rise_k[2] - rise_k > 4e0
            and rise_k >= -5e0 as device_below_panel,
        reading_count > 1 and abs(date_diff('hour', panel_inspected_at, inspected_at)) > 48 as date_unlike,
        inspected_at < $early_at::timestamp - interval 366 day
            or inspected_at > $late_at::timestamp + interval 366 day as date_far_off,
        reading_count >= 6 and position > 42 and position = last_position[1]
            and position - last_position[2] >= 12 as position_far_off,
        abs(current_a - round(current_a, $current_decimals::integer)) > 1e-6 as current_decimal_slip,
        current_a >= 0.7e0 * rated_a and load_minutes >= 20
            and rise_k - lowest_rise_k[1] < 0.2e0 * 0.7e0 * 30e0 * pow(current_a / rated_a, 1.639e0)
            as current_without_heat
    from placed
),

told as (
    select *,
        (is_below or is_unlike) and reading_count >= 3 and $has_fahrenheit::boolean
            and abs(ambient_number - panel_ambient_degc) <= ambient_slack_k and is_unlike as is_ambient_celsius,
        is_below and $has_fahrenheit::boolean
            and device_number - panel_ambient_degc between -3e0 and 60e0 as is_device_celsius,
        is_below and is_unlike and reading_count >= 3
            and abs(device_degc - panel_ambient_degc) <= ambient_slack_k as is_swapped
    from flagged
    where is_below or is_unlike or panel_all_too_warm or panel_below_ambient or cold_indoors
        or device_below_panel or date_unlike or date_far_off or position_far_off
        or current_decimal_slip or current_without_heat
)

select reading_id, mark.column_name, mark.code, mark.value, mark.other
from (
    select reading_id, unnest(list_filter([
        case when is_swapped then parse_mark('ambient_temp', 'ambient_and_device_swapped', round(ambient_degc, 1), round(device_degc, 1)) end,
        case when is_ambient_celsius and not is_swapped then parse_mark('ambient_temp', 'celsius_in_fahrenheit', round(ambient_degc, 1), round(ambient_number, 1)) end,
        case when is_device_celsius and not is_swapped then parse_mark('device_temp', 'celsius_in_fahrenheit', round(device_degc, 1), round(device_number, 1)) end,
        case when is_below and not is_swapped and not is_device_celsius then parse_mark('device_temp', 'device_below_ambient', round(-rise_k, 1), null) end,
        case when is_unlike and not is_swapped and not is_ambient_celsius then parse_mark('ambient_temp', 'ambient_unlike_panel', round(ambient_degc, 1), round(panel_ambient_degc, 1)) end,
        case when panel_all_too_warm then parse_mark('ambient_temp', 'panel_all_too_warm', round(floor_k, 1), round(panel_ambient_degc, 1)) end,
        case when panel_below_ambient then parse_mark('ambient_temp', 'panel_below_ambient', round(-panel_rise_k, 1), round(panel_ambient_degc, 1)) end,
        case when cold_indoors then parse_mark('ambient_temp', 'cold_indoors', round(ambient_degc, 1), panel_location) end,
        case when device_below_panel then parse_mark('device_temp', 'device_below_panel', round(lowest_rise_k[2] - rise_k, 1), round(-rise_k, 1)) end,
        case when date_unlike then parse_mark('inspected_at', 'date_unlike_inspection', inspected_at::date, panel_inspected_at::date) end,
        case when date_far_off then parse_mark('inspected_at', 'date_far_off', inspected_at::date, $early_at::date || ' to ' || $late_at::date) end,
        case when position_far_off then parse_mark('position', 'position_far_off', position, last_position[2]) end,
        case when current_decimal_slip then parse_mark('current_a', 'current_decimal_slip', current_a, null) end,
        case when current_without_heat then parse_mark('current_a', 'current_without_heat', current_a, load_minutes) end
    ], lambda m: m is not null)) as mark
    from told
)
