-- title: Readings that contradict themselves
-- grain: one row a reading and code
-- key: reading_id, code
-- reads: records.reading, wire_limit
-- params: $file_id, $now when the file is taken in
-- source: NEC 240.6(A), 240.4(D) and Table 310.16; preferred ratings of IEC 60898-1 (from memory);
--     limits chosen as the catalogue of rules says
-- caveat: a device that is merely hot is no contradiction; 13, 16, 32 and 63 A are ratings where a
--     tenth of the file has them, two rows at least, and slips elsewhere
with measured as (
    select
        r.*,
        r.device_degc - r.ambient_degc as rise_k,
        r.termination_degc - r.ambient_degc as termination_rise_k,
        r.conductor_degc - r.ambient_degc as conductor_rise_k,
        r.position = 0 or r.device_class = 'main' as is_main,
        w.limit_a
    from records.reading as r
    left join wire_limit as w
        on w.awg = r.conductor_awg and w.material = coalesce(r.conductor_material, 'copper')
    where r.file_id = $file_id and r.is_current
),

flagged as (
    select *,
        not (rated_a in (13, 16, 32, 63) and (
            select count(*) filter (where m.rated_a in (13, 16, 32, 63)) >= greatest(0.1e0 * count(*), 2)
            from records.reading as m
            where m.file_id = $file_id and m.is_current
        )) and rated_a not in (
            10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225,
            250, 300, 350, 400, 450, 500, 600
        ) as rating_not_made,
        not is_main and device_class in ('standard', 'afci', 'gfci', 'dual_function')
        and case
            when poles = 1 then rated_a > 70
            when panel_rated_a is null then rated_a > 150
            else rated_a > panel_rated_a
        end as rating_for_a_main,
        position = 0 and rated_a < 60 as main_too_small,
        rated_a > limit_a * case when is_main then 1.25e0 else 1e0 end as conductor_too_small,
        current_a > 1.5e0 * rated_a as current_over_rating,
        inspected_at > $now::timestamp + interval 1 day as date_in_future,
        termination_rise_k < -6e0 as termination_below_ambient,
        conductor_rise_k < -6e0 as conductor_below_ambient,
        rise_k > 160e0 as device_too_hot,
        termination_rise_k > 250e0 as termination_too_hot,
        conductor_rise_k > 160e0 as conductor_too_hot,
        rise_k - termination_rise_k > 30e0 as face_hotter_than_its_terminal
    from measured
)

select reading_id, mark.column_name, mark.code, mark.value, mark.other
from (
    select reading_id, unnest(list_filter([
        case when rating_not_made then parse_mark('rated_a', 'rating_not_made', rated_a, null) end,
        case when rating_for_a_main then parse_mark('rated_a', 'rating_for_a_main', rated_a, poles) end,
        case when main_too_small then parse_mark('rated_a', 'main_too_small', rated_a, null) end,
        case when conductor_too_small then parse_mark('conductor_awg', 'conductor_too_small', rated_a, conductor_awg) end,
        case when current_over_rating then parse_mark('current_a', 'current_over_rating', current_a, rated_a) end,
        case when date_in_future then parse_mark('inspected_at', 'date_in_future', inspected_at::date, null) end,
        case when termination_below_ambient then parse_mark('termination_temp', 'termination_below_ambient', round(-termination_rise_k, 1), null) end,
        case when conductor_below_ambient then parse_mark('conductor_temp', 'conductor_below_ambient', round(-conductor_rise_k, 1), null) end,
        case when device_too_hot then parse_mark('device_temp', 'hotter_than_plausible', round(rise_k, 1), null) end,
        case when termination_too_hot then parse_mark('termination_temp', 'hotter_than_plausible', round(termination_rise_k, 1), null) end,
        case when conductor_too_hot then parse_mark('conductor_temp', 'hotter_than_plausible', round(conductor_rise_k, 1), null) end,
        case when face_hotter_than_its_terminal then parse_mark('device_temp', 'face_hotter_than_its_terminal', round(rise_k - termination_rise_k, 1), null) end
    ], lambda m: m is not null)) as mark
    from flagged
    where rating_not_made or rating_for_a_main or main_too_small or conductor_too_small
        or current_over_rating or date_in_future or termination_below_ambient
        or conductor_below_ambient or device_too_hot or termination_too_hot or conductor_too_hot
        or face_hotter_than_its_terminal
)
