-- title: False-discovery rate of each reading within its quarter
-- grain: one row a clamped reading that teaches
-- key: reading_id
-- reads: judging.hottest
-- params: none
-- source: Benjamini & Hochberg 1995 per quarter on p = (1 + healthy hotter) / (1 + healthy), where a
--   reading counts as healthy by its local false-discovery rate, so that faults do not hide each
--   other; ranked among all of its pole family with or without a working load
-- caveat: residuals in healthy spreads are taken as alike over classes
with family as (
    select
        family,
        sum(healthy_parts) as healthy_parts,
        sum(sum(healthy_parts)) over (order by family) - sum(healthy_parts) as before_parts
    from judging.hottest
    group by family
),

passed as (
    select
        *,
        sum(healthy_parts) over (rows between unbounded preceding and current row) as passed_parts
    from judging.hottest
),

pooled as (
    select
        p.reading_id,
        p.quarter,
        (1e0 + (p.passed_parts - f.before_parts - p.healthy_parts) * pow(2e0, -50))
        / (1e0 + (f.healthy_parts - p.healthy_parts) * pow(2e0, -50)) as pooled_p
    from passed as p
    inner join family as f using (family)
),

sized as (
    select quarter, count(*) as reading_count
    from judging.hottest
    group by quarter
),

stepped as (
    select
        p.*,
        pooled_p * s.reading_count / count(*) over (partition by quarter order by pooled_p) as step
    from pooled as p
    inner join sized as s using (quarter)
)

select
    reading_id,
    pooled_p,
    least(1e0, min(step) over (partition by quarter order by pooled_p desc)) as q_value
from stepped
