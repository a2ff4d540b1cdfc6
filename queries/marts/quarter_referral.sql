-- title: What licensed electricians found of each quarter's flagged readings, and how soon
-- grain: one row a quarter that has flagged readings, up to the one asked for
-- key: quarter
-- reads: screening.result, normalise.measure, records.finding, records.source_file
-- params: $quarter such as 2026Q3
-- source: Wilson 1927; of several findings on a device the macro standing_finding takes one
-- caveat: a loose connection or a device fault confirms a flag; what is not examined yet is unknown,
--   and mostly the strongest cases are examined, so that the share flatters; what others found is
--   counted apart
with counted as (
    select
        m.quarter,
        count(*) as flagged_count,
        count(*) filter (where f.is_licensed) as examined_count,
        count(*) filter (where f.is_licensed and f.finding = 'loose_connection') as loose_count,
        count(*) filter (where f.is_licensed and f.finding = 'device_fault') as device_count,
        count(*) filter (where f.is_licensed and f.finding = 'overload') as overload_count,
        count(*) filter (where f.is_licensed and f.finding = 'nothing_found') as nothing_count,
        count(*) filter (where not f.is_licensed) as other_count,
        median(datediff('day', m.inspected_at, f.found_at)) filter (where f.is_licensed)
            as median_days,
        quantile_cont(datediff('day', m.inspected_at, f.found_at), 0.9)
            filter (where f.is_licensed) as slow_days
    from screening.result as s
    inner join normalise.measure as m using (reading_id)
    left join
        standing_finding('records.finding', 'normalise.measure', 'records.source_file') as f
        using (reading_id)
    where m.quarter <= $quarter::varchar
        and s.verdict in ('suspect_connection', 'overload_and_connection')
    group by m.quarter
)

select
    *,
    wilson_low(loose_count + device_count, examined_count) as confirmed_low,
    wilson_high(loose_count + device_count, examined_count) as confirmed_high
from counted
order by quarter
