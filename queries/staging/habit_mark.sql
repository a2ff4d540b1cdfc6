-- title: Readings whose date, position or current is unlike the others of file and panel
-- grain: one row a reading and code
-- key: reading_id, code
-- reads: records.reading, visit_shape
-- params: $file_id, $early_at, $late_at nearly all dates of the file lie between,
--     $current_decimals what its currents are read to
-- source: limits chosen as the catalogue of rules says; usual heat by the practitioner's 30 K at full
--     load and n = 1.639 of IEC 61439-1, seven tenths of it settled
-- caveat: a circuit that came on a moment ago has current and no heat; its minutes must be noted
with placed as (
    select
        r.reading_id, r.inspected_at, r.position, r.current_a, r.load_minutes,
        r.current_a / r.rated_a as load_fraction,
        r.device_degc - r.ambient_degc - v.lowest_rise_k[1] as above_floor_k,
        0.7e0 * 30e0 * pow(r.current_a / r.rated_a, 1.639e0) as usual_k,
        v.reading_count, v.last_position, v.inspected_at as panel_inspected_at
    from records.reading as r
    inner join visit_shape as v using (inspection_id, panel_id)
    where r.file_id = $file_id and r.is_current
),

flagged as (
    select *,
        reading_count > 1
            and abs(date_diff('hour', panel_inspected_at, inspected_at)) > 48 as date_unlike,
        inspected_at < $early_at::timestamp - interval 366 day
            or inspected_at > $late_at::timestamp + interval 366 day as date_far_off,
        reading_count >= 6 and position > 42 and position = last_position[1]
            and position - last_position[2] >= 12 as position_far_off,
        abs(current_a - round(current_a, $current_decimals::integer)) > 1e-6 as current_decimal_slip,
        load_minutes >= 20 and case
            when load_fraction >= 1.1e0 then above_floor_k < 0.4e0 * usual_k
            when load_fraction >= 0.7e0 then above_floor_k < 0.2e0 * usual_k
        end as current_without_heat
    from placed
)

select reading_id, mark.column_name, mark.code, mark.value, mark.other
from (
    select reading_id, unnest(list_filter([
        case when date_unlike then parse_mark('inspected_at', 'date_unlike_inspection', inspected_at::date, panel_inspected_at::date) end,
        case when date_far_off then parse_mark('inspected_at', 'date_far_off', inspected_at::date, $early_at::date || ' to ' || $late_at::date) end,
        case when position_far_off then parse_mark('position', 'position_far_off', position, last_position[2]) end,
        case when current_decimal_slip then parse_mark('current_a', 'current_decimal_slip', current_a, null) end,
        case when current_without_heat then parse_mark('current_a', 'current_without_heat', current_a, load_minutes) end
    ], lambda m: m is not null)) as mark
    from flagged
    where date_unlike or date_far_off or position_far_off or current_decimal_slip or current_without_heat
)
