-- Clamped readings of panels with 24 one-pole devices over twelve quarters, straight into the store:
-- planted makes, cameras, panels and minutes, a termination on one row in seven, faults on one in
-- seventy. The same for the same number of rows.
insert into records.reading by name
with drawn as (
    select
        i,
        i // 24 as visit,
        i % 24 as slot,
        (hash(i, 1) % 1000003 + 0.5) / 1000003 as a,
        (hash(i, 2) % 1000003 + 0.5) / 1000003 as b,
        (hash(i, 3) % 1000003 + 0.5) / 1000003 as c,
        (hash(i, 4) % 1000003 + 0.5) / 1000003 as d,
        (hash(i // 24, 5) % 1000003 + 0.5) / 1000003 as e,
        (hash(i // 24, 6) % 1000003 + 0.5) / 1000003 as f
    from range($rows) as r(i)
),

placed as (
    select
        *,
        visit % 50 as camera,
        (hash(i, 7) % 5)::integer as make_number,
        ['standard', 'standard', 'standard', 'standard', 'afci', 'gfci', 'dual_function'][
            1 + (hash(i, 8) % 7)::integer] as device_class,
        [15, 20, 30][1 + (hash(i, 9) % 3)::integer] as rated_a,
        round(0.02 + a * a * 0.9, 3) as x,
        [null, 10, 20, 40, 60, 120][1 + (hash(visit, 10) % 6)::integer] as minutes,
        sqrt(-2 * ln(b)) * cos(2 * pi() * c) as noise,
        sqrt(-2 * ln(e)) * cos(2 * pi() * f) as visit_noise
    from drawn
),

heated as (
    select
        *,
        30 * (1 + 0.05 * (make_number - 2)) * pow(x, 1.64)
        * (1 - 0.4 * exp(-coalesce(minutes, 60) / 20.0))
        * if(hash(i, 11) % 70 = 0, 2.5, 1) as load_k,
        if(device_class = 'standard', 0, 9) + 1.5 * visit_noise + ((camera * 7) % 11 - 5) * 0.15
        + noise as still_k
    from placed
)

select
    i as reading_id,
    0 as file_id,
    i as line,
    hash(i) as content_hash,
    true as is_current,
    'v' || visit as inspection_id,
    timestamp '2023-01-02 08:00:00' + to_minutes((visit * 7919 % 1570000)::integer) as inspected_at,
    'i' || visit % 40 as inspector_id,
    'o' || visit % 5 as office_id,
    'c' || camera as camera_id,
    'p' || visit as panel_id,
    'basement' as panel_location,
    20 + 8 * e as ambient_degc,
    20 + 8 * e + still_k + load_k as device_degc,
    if(hash(i, 12) % 7 = 0, 20 + 8 * e + still_k + 1.2 * load_k + 0.8 * d, null) as termination_degc,
    slot + 1 as position,
    device_class,
    'make ' || make_number as make,
    1 as poles,
    rated_a,
    x * rated_a as current_a,
    minutes as load_minutes
from heated
