-- title: Readings that no policy can flag, and what was found of them
-- grain: one row
-- reads: screening.result, tuning.candidate, tuning.reading_finding
-- params: none
-- source: chosen: without a current or a temperature there is nothing to draw a line on
-- caveat: those that contradict themselves are among them
select
    count(*) filter (where r.load_fraction is null) as unclamped_count,
    count(f.reading_id) as examined_count,
    count(*) filter (where f.is_fault) as fault_count
from screening.result as r
left join tuning.reading_finding as f using (reading_id)
where r.reading_id not in (select reading_id from tuning.candidate)
