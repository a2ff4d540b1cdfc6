-- title: Faults that licensed electricians confirmed, in flagged devices and in others, up to a quarter
-- grain: one row a verdict
-- key: verdict
-- reads: screening.result, normalise.measure, records.finding, records.source_file
-- params: $quarter such as 2026Q3
-- source: which finding stands, and who counts as licensed: the macro standing_finding
-- caveat: a smaller part is examined of what was not flagged than of what was, and not at random, so
--   that its share of the confirmed is not its share of all faults; a loose connection or a device
--   fault confirms, an overload does not; bare is a confirmed fault that was read without a current
with found as (
    select
        s.verdict,
        s.verdict in ('suspect_connection', 'overload_and_connection') as is_flagged,
        m.load_fraction is null as is_bare,
        coalesce(f.is_licensed, false) as is_examined,
        coalesce(f.is_licensed and f.finding in ('loose_connection', 'device_fault'), false)
            as is_confirmed
    from screening.result as s
    inner join normalise.measure as m using (reading_id)
    left join standing_finding('records.finding', 'normalise.measure', 'records.source_file') as f
        using (reading_id)
    where m.quarter <= $quarter::varchar
)

select
    verdict,
    is_flagged,
    count(*) as reading_count,
    count(*) filter (where is_examined) as examined_count,
    count(*) filter (where is_confirmed) as confirmed_count,
    count(*) filter (where is_confirmed and is_bare) as bare_count
from found
group by verdict, is_flagged
order by verdict
