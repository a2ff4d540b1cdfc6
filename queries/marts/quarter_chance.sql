-- title: Whether stated chances of a fault came true, up to a quarter
-- grain: one row a class of stated chance with an examined reading
-- key: low
-- reads: screening.result, normalise.measure, records.finding, records.source_file
-- params: $quarter such as 2026Q3
-- source: chosen classes; Wilson 1927; spread is the variance of the count expected, each case by itself
-- caveat: only what licensed electricians examined, flagged or not, and mostly what looked warm is
--   examined; a loose connection or a device fault confirms, an overload does not; the chance is that
--   of a fault large enough to matter, and electricians find smaller ones too
with examined as (
    select
        case when s.probability >= 0.9 then 0.9e0 when s.probability >= 0.7 then 0.7e0
            when s.probability >= 0.3 then 0.3e0 when s.probability >= 0.1 then 0.1e0
            else 0e0 end as low,
        s.probability,
        f.finding
    from screening.result as s
    inner join normalise.measure as m using (reading_id)
    inner join standing_finding('records.finding', 'normalise.measure', 'records.source_file') as f
        using (reading_id)
    where m.quarter <= $quarter::varchar
        and f.is_licensed and s.verdict <> 'recheck' and s.probability is not null
),

counted as (
    select
        low,
        count(*) as examined_count,
        count(*) filter (where finding in ('loose_connection', 'device_fault')) as confirmed_count,
        count(*) filter (where finding = 'overload') as overload_count,
        count(*) filter (where finding = 'nothing_found') as nothing_count,
        fsum(probability) as expected,
        fsum(probability * (1e0 - probability)) as spread
    from examined
    group by low
)

select
    *,
    wilson_low(confirmed_count, examined_count) as confirmed_low,
    wilson_high(confirmed_count, examined_count) as confirmed_high
from counted
order by low desc
