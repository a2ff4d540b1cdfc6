-- Robust weight [1] of a standardised residual [1]: Huber's, bounded influence beyond the tuning.
-- Source: Huber 1964; tuning 1.345 is 95 % efficient at the normal.
create or replace temp macro huber(z, tuning) as
    case when abs(z) <= tuning then 1e0 else tuning / abs(z) end
