-- title: The latest day that the store knows of, and the readings that are in no quarter
-- grain: one row in all
-- reads: screening.result, normalise.measure, records.finding
-- params: none
-- source: chosen: waiting days are counted to this day and not to today's, so that a page comes out
--   the same again
-- caveat: a date of a reading that contradicts itself does not count, nor a finding dated more than a
--   year after the last scan; a quarter is one with a reading that does not contradict itself
with held as (
    select m.quarter, max(m.inspected_at) as last_at
    from normalise.measure as m
    inner join screening.result as s using (reading_id)
    where s.verdict <> 'recheck'
    group by m.quarter
),

scanned as (
    select max(last_at) as last_at from held
)

select
    greatest(c.last_at, (
        select max(f.found_at) from records.finding as f
        where f.is_current and f.found_at <= c.last_at + interval 366 day
    ))::date as known_on,
    (
        select count(*)
        from normalise.measure as m
        inner join screening.result as s using (reading_id)
        where m.quarter not in (select h.quarter from held as h)
    ) as astray_count
from scanned as c
