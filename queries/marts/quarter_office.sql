-- title: What each office scanned in a quarter, what of it is open, and what electricians found
-- grain: one row an office
-- key: office
-- reads: screening.result, normalise.measure, records.finding, records.source_file
-- params: $quarter such as 2026Q3, $any_share of rating that no load may exceed [1]
-- source: which finding stands, and who counts as licensed: the macro standing_finding
-- caveat: open is what no licensed electrician has examined; findings are of flagged readings; days
--   run from the scan to the licensed electrician's look, in order
with seen as (
    select
        coalesce(m.office_id, 'not noted') as office,
        m.panel_id,
        s.verdict in ('suspect_connection', 'overload_and_connection') as is_flagged,
        s.verdict in ('overload', 'overload_and_connection') as is_over,
        coalesce(m.load_fraction > $any_share::double, false) as is_over_rating,
        f.is_licensed,
        f.finding,
        datediff('day', m.inspected_at, f.found_at) as days
    from screening.result as s
    inner join normalise.measure as m using (reading_id)
    left join standing_finding('records.finding', 'normalise.measure', 'records.source_file') as f
        using (reading_id)
    where m.quarter = $quarter::varchar
)

select
    office,
    count(distinct panel_id) as panel_count,
    count(*) as reading_count,
    count(*) filter (where is_flagged) as flagged_count,
    count(*) filter (where is_flagged and not coalesce(is_licensed, false)) as open_flagged_count,
    count(*) filter (where is_over and is_over_rating and not coalesce(is_licensed, false))
        as open_rating_count,
    count(*) filter (where is_over and not is_over_rating and not coalesce(is_licensed, false))
        as open_continuous_count,
    count(*) filter (where is_flagged and is_licensed) as examined_count,
    count(*) filter (where is_flagged and is_licensed and finding = 'loose_connection')
        as loose_count,
    count(*) filter (where is_flagged and is_licensed and finding = 'device_fault')
        as device_count,
    count(*) filter (where is_flagged and is_licensed and finding = 'overload') as overload_count,
    count(*) filter (where is_flagged and is_licensed and finding = 'nothing_found')
        as nothing_count,
    count(*) filter (where is_flagged and not is_licensed) as other_count,
    string_agg(days, ' ' order by days) filter (
        where is_flagged and is_licensed and days is not null) as days
from seen
group by office
order by office
