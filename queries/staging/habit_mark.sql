-- title: Readings whose date or current is unlike the habits of the file, or has no heat to it
-- grain: one row a reading and code
-- key: reading_id, code
-- reads: records.reading, visit_outline
-- params: $file_id, $early_at, $late_at nearly all dates of the file lie between,
--     $current_decimals what its currents are read to
-- source: limits chosen as the catalogue of rules says; usual heat by the practitioner's 30 K at full
--     load and n = 1.639 of IEC 61439-1, seven tenths of it settled
-- caveat: a circuit that came on a moment ago has current and no heat; its minutes must be noted
with loaded as (
    select
        r.reading_id, r.current_a, r.load_minutes, r.current_a / r.rated_a as load_fraction,
        r.device_degc - r.ambient_degc - v.lowest_rise_k as above_floor_k,
        0.7e0 * 30e0 * pow(r.current_a / r.rated_a, 1.639e0) as usual_k
    from records.reading as r
    inner join visit_outline as v using (inspection_id, panel_id)
    where r.file_id = $file_id and r.is_current and r.load_minutes >= 20
        and r.current_a >= 0.7e0 * r.rated_a
)

select
    reading_id, 'current_a' as column_name, 'current_without_heat' as code,
    current_a::varchar as value, load_minutes::varchar as other
from loaded
where above_floor_k < usual_k * case when load_fraction >= 1.1e0 then 0.4e0 else 0.2e0 end
union all
select
    reading_id, 'inspected_at', 'date_far_off', inspected_at::date::varchar,
    $early_at::date || ' to ' || $late_at::date
from records.reading
where file_id = $file_id and is_current and (
    inspected_at < $early_at::timestamp - interval 366 day
    or inspected_at > $late_at::timestamp + interval 366 day
)
union all
select reading_id, 'current_a', 'current_decimal_slip', current_a::varchar, null
from records.reading
where file_id = $file_id and is_current
    and abs(current_a - round(current_a, $current_decimals::integer)) > 1e-6
