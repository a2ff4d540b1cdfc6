-- title: What became of the flagged readings of each quarter
-- grain: one row a quarter and office
-- key: quarter_index, office
-- reads: screening.result, normalise.measure, records.finding
-- params: none
-- caveat: mostly flagged devices are examined; days run from the scan to the electrician's look
with looked as (
    select
        f.*
    from records.finding as f
    where f.is_current
    qualify row_number() over (
        partition by f.inspection_id, f.panel_id, f.position
        order by f.found_at desc, f.finding_id desc) = 1
)

select
    4 * year(m.inspected_at) + quarter(m.inspected_at) - 1 as quarter_index,
    coalesce(m.office_id, 'not noted') as office,
    count(*)::integer as flagged_count,
    count(f.finding_id)::integer as examined_count,
    count(*) filter (where f.finding = 'loose_connection')::integer as loose_count,
    count(*) filter (where f.finding = 'device_fault')::integer as device_count,
    count(*) filter (where f.finding = 'overload')::integer as overload_count,
    count(*) filter (where f.finding = 'nothing_found')::integer as nothing_count,
    count(*) filter (where f.examined_by_licensed)::integer as licensed_count,
    median(datediff('day', m.inspected_at, f.found_at)) as median_days,
    quantile_cont(datediff('day', m.inspected_at, f.found_at), 0.9) as slow_days
from screening.result as s
inner join normalise.measure as m using (reading_id)
left join looked as f
    on f.inspection_id = m.inspection_id and f.panel_id = m.panel_id and f.position = m.position
where s.verdict in ('suspect_connection', 'overload_and_connection')
group by all
order by quarter_index, office
