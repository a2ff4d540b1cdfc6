-- title: False-discovery rate of each reading within its quarter
-- grain: one row a clamped reading that teaches
-- key: reading_id
-- reads: judging.evidence, normalise.reading
-- params: none
-- source: Benjamini & Hochberg 1995 per quarter on p = (1 + healthy hotter) / (1 + healthy), where a
--   reading counts as healthy by its local false-discovery rate, so that faults do not hide each
--   other; ranked among all of its pole family with or without a working load
-- caveat: residuals in healthy spreads are taken as alike over classes
with shared as (
    select
        e.reading_id,
        m.quarter,
        e.z,
        healthy_chance(m.is_multi_pole, e.odds, e.material_odds) as healthy,
        pole_family(m.device_class, m.is_multi_pole) as family,
        e.load_band > 2 as is_working
    from judging.evidence as e
    inner join normalise.reading as m using (reading_id)
    where e.is_taught
),

ranked as (
    select
        reading_id,
        quarter,
        (1e0 + sum(healthy) over (
            partition by family, is_working order by z desc, reading_id
            rows between unbounded preceding and current row) - healthy)
        / (1e0 + sum(healthy) over (partition by family, is_working) - healthy) as pooled_p
    from shared
),

stepped as (
    select
        *,
        pooled_p * count(*) over (partition by quarter)
        / row_number() over (partition by quarter order by pooled_p, reading_id) as step
    from ranked
)

select
    reading_id,
    pooled_p,
    least(1e0, min(step) over (
        partition by quarter order by pooled_p desc, reading_id desc
        rows between unbounded preceding and current row)) as q_value
from stepped
