-- title: How many rows count, and the logarithms of their weights
-- grain: one row
-- key: none
-- reads: fitting.predicted
-- params: none
select
    count(*) as reading_count,
    coalesce(fsum(ln(weight)), 0e0) as log_weight
from fitting.predicted
where weight > 0
