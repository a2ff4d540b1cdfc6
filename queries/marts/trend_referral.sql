-- title: What licensed electricians found of each quarter's flagged readings, by office
-- grain: one row a quarter and office
-- key: quarter_index, office
-- reads: screening.result, normalise.measure, records.finding, records.source_file
-- params: none
-- caveat: mostly flagged devices are examined; days run from the scan to the electrician's look; who
--   counts is told in quarter_referral
select
    4 * year(m.inspected_at) + quarter(m.inspected_at) - 1 as quarter_index,
    coalesce(m.office_id, 'not noted') as office,
    count(*)::integer as flagged_count,
    count(*) filter (where f.is_licensed)::integer as examined_count,
    count(*) filter (where f.is_licensed and f.finding = 'loose_connection')::integer
        as loose_count,
    count(*) filter (where f.is_licensed and f.finding = 'device_fault')::integer as device_count,
    count(*) filter (where f.is_licensed and f.finding = 'overload')::integer as overload_count,
    count(*) filter (where f.is_licensed and f.finding = 'nothing_found')::integer
        as nothing_count,
    count(*) filter (where not f.is_licensed)::integer as other_count,
    median(datediff('day', m.inspected_at, f.found_at)) filter (where f.is_licensed)
        as median_days,
    quantile_cont(datediff('day', m.inspected_at, f.found_at), 0.9)
        filter (where f.is_licensed) as slow_days
from screening.result as s
inner join normalise.measure as m using (reading_id)
left join standing_finding('records.finding', 'normalise.measure', 'records.source_file') as f
    using (reading_id)
where s.verdict in ('suspect_connection', 'overload_and_connection')
group by all
order by quarter_index, office
