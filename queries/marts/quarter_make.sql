-- title: What licensed electricians found of each make's flagged readings, up to a quarter
-- grain: one row a make
-- key: make
-- reads: screening.result, normalise.measure, records.finding, records.source_file
-- params: $quarter such as 2026Q3
-- source: which finding stands, and who counts as licensed: the macro standing_finding
-- caveat: what is not examined is unknown; a loose connection or a device fault confirms
select
    coalesce(m.make, 'not noted') as make,
    count(*) as flagged_count,
    count(*) filter (where f.is_licensed) as examined_count,
    count(*) filter (where f.is_licensed and f.finding in ('loose_connection', 'device_fault'))
        as confirmed_count
from screening.result as s
inner join normalise.measure as m using (reading_id)
left join standing_finding('records.finding', 'normalise.measure', 'records.source_file') as f
    using (reading_id)
where m.quarter <= $quarter::varchar
    and s.verdict in ('suspect_connection', 'overload_and_connection')
group by 1
order by 1
