-- Readings of panels with 24 slots, 2023 to 2026, and a clerical error in one row of two hundred.
with drawn as (
    select
        i,
        i // 24 as visit,
        i % 24 + 1 as position,
        random() as a, random() as b, random() as c, random() as d, random() as slip,
        60 + (hash(i // 24) % 21)::integer as ambient
    from range($rows) as r(i)
),

loaded as (
    select *,
        [$classes][1 + floor(a * 6.999)::integer] as device_class,
        case when b < 0.5 then 15 else 20 end as rated_a,
        case when c < 0.6 then round(d * d * 16, 1) end as current_a
    from drawn
),

warmed as (
    select *,
        round(
            ambient + 4 + 4 * a + 36 * pow(coalesce(current_a, 4 * d) / rated_a, 1.7)
            + case when device_class = 'standard' then 0 else 14 end, 1
        ) as device
    from loaded
)

select
    'V' || lpad(visit::varchar, 7, '0') as inspection_id,
    strftime(timestamp '2023-01-02 08:00:00' + to_minutes((visit * 3 % 1900000)::integer), '%Y-%m-%dT%H:%M') as inspected_at,
    'inspector-' || visit % 40 as inspector_id,
    'office-' || visit % 5 as office_id,
    'camera-' || visit % 50 as camera_id,
    'clamp-' || visit % 60 as clamp_id,
    'S' || visit % 90000 as site_id,
    'P1' as panel_id,
    ['basement', 'garage', 'utility', 'outdoor'][1 + visit % 4] as panel_location,
    200 as panel_rated_a,
    case when slip < 0.001 then device else ambient end as ambient_temp,
    case when slip < 0.001 then ambient when slip < 0.002 then round((device - 32) / 1.8, 1)
        else device end::varchar || case when slip between 0.002 and 0.003 then ' ?' else '' end as device_temp,
    case when c < 0.2 then device + 2 end as termination_temp,
    case when c < 0.1 then device - 3 end as conductor_temp,
    'degF' as temp_unit,
    position,
    device_class,
    ['Corvane', 'Halbrook', 'Ostrel'][1 + floor(b * 2.999)::integer] as make,
    1 as poles,
    case when slip between 0.003 and 0.004 then 17 else rated_a end as rated_a,
    case when slip between 0.004 and 0.005 then current_a * 10 else current_a end as current_a,
    '12' as conductor_awg,
    'copper' as conductor_material,
    0.95 as emissivity,
    ambient as reflected_temp,
    case when d < 0.8 then (30 + 40 * a)::integer end as load_minutes,
    null as note
from warmed
order by i
