-- title: How many times the variance of single cases the cases of one visit have
-- grain: one row in all
-- reads: trends.reading
-- params: none
-- source: squared residuals of the visits' counts over what independent readings would give
with expected as (
    select
        visit_id, is_flagged, is_over,
        sum(is_flagged::integer) over kind / count(*) over kind as flag_share,
        sum(is_over::integer) over kind / count(*) over kind as over_share
    from trends.reading
    where is_judged
    window kind as (partition by device_class, load_band, ambient_band)
),

counted as (
    select
        visit_id,
        fsum(is_flagged::double - flag_share) as flag_gap,
        fsum(flag_share * (1e0 - flag_share)) as flag_variance,
        fsum(is_over::double - over_share) as over_gap,
        fsum(over_share * (1e0 - over_share)) as over_variance
    from expected
    group by visit_id
)

select
    coalesce(fsum(flag_gap * flag_gap) / nullif(fsum(flag_variance), 0e0), 1e0) as flag_clumping,
    coalesce(fsum(over_gap * over_gap) / nullif(fsum(over_variance), 0e0), 1e0) as over_clumping
from counted
