-- title: What is usual in a file
-- grain: one row
-- reads: records.reading
-- params: $file_id
-- caveat: quantiles of dates are approximate
select
    count(*) as reading_count,
    approx_quantile(inspected_at, 0.02) as early_at,
    approx_quantile(inspected_at, 0.98) as late_at,
    count(current_a) as current_count,
    count(*) filter (where abs(current_a - round(current_a, 0)) > 1e-6) as tenths_count,
    count(*) filter (where abs(current_a - round(current_a, 1)) > 1e-6) as hundredths_count,
    count(*) filter (where abs(current_a - round(current_a, 2)) > 1e-6) as thousandths_count
from records.reading
where file_id = $file_id and is_current
