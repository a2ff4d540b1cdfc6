-- How near a residual [K] of that variance [K^2] lies to a middle [K]: 1 on it, 0 from tuning spreads
-- on. Its square is Tukey's bisquare weight (see `bisquare`) without a root or a power.
create or replace temp macro nearness(residual_k, middle_k, variance_k2, tuning) as
    greatest(
        1e0 - (residual_k - middle_k) * (residual_k - middle_k) / (variance_k2 * tuning * tuning),
        0e0)
