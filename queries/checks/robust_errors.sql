-- title: The sums behind the standard errors of a robust regression
-- grain: one row
-- key: none
-- reads: robust_design
-- params: $psi huber or tukey; $tuning [1]; $scale [unit of y]; $b1, $b2, $b3, $b4 the fitted
--   coefficients
-- source: P. J. Huber, Robust Statistics (Wiley 1981), section 7.6; sandwich form after
--   H. White, Econometrica 48 (1980) 817
-- caveat: takes the rows for independent; up to four regressors, an unused one is null
with scaled as (
    select
        w,
        x1, x2, x3, x4,
        (
            y - (
                coalesce($b1 * x1, 0.0::double) + coalesce($b2 * x2, 0.0::double)
                + coalesce($b3 * x3, 0.0::double) + coalesce($b4 * x4, 0.0::double)
            )
        ) / $scale as u
    from robust_design
    where is_usable
),

shaped as (
    select
        *,
        (u / $tuning) * (u / $tuning) as v,
        case
            when $psi = 'huber' then greatest(-$tuning, least($tuning, u))
            when v < 1 then u * (1 - v) * (1 - v)
            else 0.0::double
        end as score,
        case
            when $psi = 'huber' then (abs(u) <= $tuning)::double
            when v < 1 then (1 - v) * (1 - 5 * v)
            else 0.0::double
        end as slope,
        w * slope as bread,
        w * w * score * score as filling
    from scaled
)

select
    count(*) as used_count,
    fsum(score * score) as score_square_sum,
    fsum(slope) as slope_sum,
    fsum(slope * slope) as slope_square_sum,
    [
        fsum(x1 * x1), fsum(x1 * x2), fsum(x1 * x3), fsum(x1 * x4), fsum(x2 * x2),
        fsum(x2 * x3), fsum(x2 * x4), fsum(x3 * x3), fsum(x3 * x4), fsum(x4 * x4)
    ] as products,
    [
        fsum(bread * x1 * x1), fsum(bread * x1 * x2), fsum(bread * x1 * x3),
        fsum(bread * x1 * x4), fsum(bread * x2 * x2), fsum(bread * x2 * x3),
        fsum(bread * x2 * x4), fsum(bread * x3 * x3), fsum(bread * x3 * x4),
        fsum(bread * x4 * x4)
    ] as bread,
    [
        fsum(filling * x1 * x1), fsum(filling * x1 * x2), fsum(filling * x1 * x3),
        fsum(filling * x1 * x4), fsum(filling * x2 * x2), fsum(filling * x2 * x3),
        fsum(filling * x2 * x4), fsum(filling * x3 * x3), fsum(filling * x3 * x4),
        fsum(filling * x4 * x4)
    ] as filling
from shaped
