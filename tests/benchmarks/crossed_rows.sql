-- Rows of visits that lie within cameras' quarters, with makes across both, as the fit takes them:
-- 12 + 25 load^1.64, cameras 0.5 K, visits 1.2 K, makes 0.7 K apart, scatter 1 K. The same for the
-- same number of rows.
create or replace table fitting.design as
with leveled as (
    select
        i,
        i // 24 + 1 as visit_id,
        (hash(i // 24, 1) % least(600, $rows // 96 + 1))::integer + 1 as camera_level_id,
        (hash(i, 2) % 40)::integer + 1 as make_id,
        round(0.02 + 0.98 * (hash(i, 3) % 1000003 + 0.5) / 1000003, 3) as x
    from range($rows) as r(i)
),

drawn as (
    select
        *,
        sqrt(-2 * ln((hash(i, 4) % 1000003 + 0.5) / 1000003))
        * cos(2 * pi() * (hash(i, 5) % 1000003 + 0.5) / 1000003) as row_noise,
        sqrt(-2 * ln((hash(visit_id, 6) % 1000003 + 0.5) / 1000003))
        * cos(2 * pi() * (hash(visit_id, 7) % 1000003 + 0.5) / 1000003) as visit_noise,
        sqrt(-2 * ln((hash(camera_level_id, 8) % 1000003 + 0.5) / 1000003))
        * cos(2 * pi() * (hash(camera_level_id, 9) % 1000003 + 0.5) / 1000003) as camera_noise,
        sqrt(-2 * ln((hash(make_id, 10) % 1000003 + 0.5) / 1000003))
        * cos(2 * pi() * (hash(make_id, 11) % 1000003 + 0.5) / 1000003) as make_noise
    from leveled
)

select
    i + 1 as reading_id,
    visit_id,
    'face' as channel,
    make_id as kind_id,
    make_id,
    1 as rating_id,
    camera_level_id,
    12 + 25 * pow(x, 1.64) + 0.7 * make_noise + 0.5 * camera_noise + 1.2 * visit_noise + row_noise
        as channel_rise_k,
    x as load_fraction,
    true as is_taught,
    true as is_telling,
    ln(x) as log_load,
    0e0 as floor_k,
    0e0 as neighbour_k,
    0e0 as across_k,
    0e0 as main_k,
    1e0 as design_weight
from drawn
