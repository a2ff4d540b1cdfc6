-- title: What the verdicts in the store cover, in numbers
-- grain: one row in all
-- reads: screening.result, normalise.measure, records.reading
-- params: none
-- caveat: taught counts the clamped readings that do not contradict themselves; a fit before the
--   last ingest saw fewer
select
    count(*) as reading_count,
    count(distinct m.panel_id) as panel_count,
    count(m.load_fraction) as clamped_count,
    count(*) filter (where m.load_fraction is not null and not m.is_recheck) as taught_count,
    count(*) filter (where s.verdict not in ('cannot_judge', 'recheck')) as judged_count,
    count(*) filter (where s.verdict = 'cannot_judge') as unjudged_count,
    count(*) filter (where s.verdict = 'recheck') as recheck_count,
    count(*) filter (where s.verdict in ('suspect_connection', 'overload_and_connection'))
        as flagged_count,
    (
        select count(*) from records.reading as r
        where r.is_current and not exists (
            select 1 from screening.result as t where t.reading_id = r.reading_id)
    ) as unscreened_count
from screening.result as s
inner join normalise.measure as m using (reading_id)
