-- title: What is usual in a file
-- grain: one row
-- reads: records.reading
-- params: $file_id
-- caveat: days between which all but the first and last fiftieth of the rows lie
with days as (
    select inspected_at::date as day, count(*) as row_count
    from records.reading
    where file_id = $file_id and is_current
    group by day
),

summed as (
    select day, sum(row_count) over (order by day) as behind, sum(row_count) over () as total from days
),

currents as (
    select
        count(current_a) as current_count,
        count(*) filter (where abs(current_a - round(current_a, 0)) > 1e-6) as tenths_count,
        count(*) filter (where abs(current_a - round(current_a, 1)) > 1e-6) as hundredths_count,
        count(*) filter (where abs(current_a - round(current_a, 2)) > 1e-6) as thousandths_count
    from records.reading
    where file_id = $file_id and is_current and current_a is not null
)

select
    (select coalesce(max(total), 0)::bigint from summed) as reading_count,
    (select min(day) from summed where behind >= 0.02e0 * total)::timestamp as early_at,
    (select min(day) from summed where behind >= 0.98e0 * total)::timestamp as late_at,
    currents.*
from currents
