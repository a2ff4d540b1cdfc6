-- Robust weight [1] of a standardised residual [1]: Tukey's bisquare beyond which a row counts nil.
-- Source: Beaton & Tukey 1974; tuning 4.685 is 95 % efficient at the normal (Holland & Welsch 1977).
create or replace temp macro bisquare(z, tuning) as
    case when abs(z) >= tuning then 0e0 else pow(1e0 - (z / tuning) * (z / tuning), 2) end
