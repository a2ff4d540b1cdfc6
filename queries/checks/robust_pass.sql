-- title: One pass of a robust regression: the sums for a step and the rows around the median
-- grain: one row
-- key: none
-- reads: robust_design
-- params: $psi huber or tukey; $tuning [1]; $scale [unit of y]; $low and $high [unit of y] the
--   bracket that should hold the median size of the residuals; $is_newton true for Newton
--   weights, false for reweighting; $b1, $b2, $b3, $b4 the coefficients the pass starts from
-- source: P. J. Huber, Robust Statistics (Wiley 1981), ch. 7; A. E. Beaton and J. W. Tukey,
--   Technometrics 16 (1974) 147 for the biweight
-- caveat: up to four regressors, an unused one is null. Rows that are not finite are counted in
--   row_count but not in used_count, and enter no sum.
with residuals as (
    select
        case when is_usable then w end as w,
        x1, x2, x3, x4,
        case
            when is_usable then
                y - (
                    coalesce($b1 * x1, 0.0::double) + coalesce($b2 * x2, 0.0::double)
                    + coalesce($b3 * x3, 0.0::double) + coalesce($b4 * x4, 0.0::double)
                )
        end as residual
    from robust_design
),

scaled as (
    select *, residual / $scale as u, abs(residual) as size,
        size between $low and $high as is_inside
    from residuals
),

weighted as (
    select
        *,
        w * case
            when $psi = 'huber' then $tuning / greatest($tuning, abs(u))
            when abs(u) < $tuning then pow(1 - (u / $tuning) * (u / $tuning), 2)
            else 0.0::double
        end as weight
    from scaled
),

sloped as (
    select
        *,
        weight * u as score,
        case
            when not $is_newton then weight
            when $psi = 'huber' then w * (abs(u) <= $tuning)::double
            when abs(u) < $tuning then
                w * (1 - (u / $tuning) * (u / $tuning)) * (1 - 5 * (u / $tuning) * (u / $tuning))
            else w * 0.0::double
        end as slope
    from weighted
)

select
    count(*) as row_count,
    count(residual) as used_count,
    min(w) as least_weight,
    fsum(w) as weight_sum,
    coalesce(fsum(w) filter (size < $low), 0.0::double) as weight_below,
    flatten(
        list([residual, w, coalesce(x1, 0), coalesce(x2, 0), coalesce(x3, 0), coalesce(x4, 0)])
        filter (is_inside)
    ) as inside,
    [fsum(score * x1), fsum(score * x2), fsum(score * x3), fsum(score * x4)] as gradient,
    [fsum(slope * u * x1), fsum(slope * u * x2), fsum(slope * u * x3), fsum(slope * u * x4)]
        as by_scale,
    [
        fsum(slope * x1 * x1), fsum(slope * x1 * x2), fsum(slope * x1 * x3), fsum(slope * x1 * x4),
        fsum(slope * x2 * x2), fsum(slope * x2 * x3), fsum(slope * x2 * x4),
        fsum(slope * x3 * x3), fsum(slope * x3 * x4), fsum(slope * x4 * x4)
    ] as products
from sloped
