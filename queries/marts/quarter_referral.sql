-- title: What electricians found of the flagged readings of each quarter, and after how long
-- grain: one row a quarter that has flagged readings, up to the one asked for
-- key: quarter
-- reads: screening.result, normalise.measure, records.finding
-- params: $quarter such as 2026Q3
-- source: Wilson 1927; of several findings on a device the latest stands
-- caveat: a loose connection or a device fault confirms a flag; what is not examined yet is unknown,
--   and mostly the strongest cases are examined, so that the share flatters
with looked as (
    select inspection_id, panel_id, position, finding, found_at, examined_by_licensed
    from records.finding
    where is_current
    qualify row_number() over (
        partition by inspection_id, panel_id, position order by found_at desc, finding_id desc) = 1
),

counted as (
    select
        m.quarter,
        count(*) as flagged_count,
        count(f.finding) as examined_count,
        count(*) filter (where f.finding = 'loose_connection') as loose_count,
        count(*) filter (where f.finding = 'device_fault') as device_count,
        count(*) filter (where f.finding = 'overload') as overload_count,
        count(*) filter (where f.finding = 'nothing_found') as nothing_count,
        count(*) filter (where f.examined_by_licensed) as licensed_count,
        median(datediff('day', m.inspected_at, f.found_at)) as median_days,
        quantile_cont(datediff('day', m.inspected_at, f.found_at), 0.9) as slow_days
    from screening.result as s
    inner join normalise.measure as m using (reading_id)
    left join looked as f
        on f.inspection_id = m.inspection_id and f.panel_id = m.panel_id
        and f.position = m.position
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
