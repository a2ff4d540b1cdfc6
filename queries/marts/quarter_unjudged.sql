-- title: What could not be judged in a quarter, by what would settle it
-- grain: one row a next step
-- key: next_step
-- reads: screening.result, normalise.measure
-- params: $quarter such as 2026Q3, $warm_k rise above the panel's floor from which a device is to be
--   clamped [K]
-- caveat: the reason is that of the first reading in the store; numbers in it are that reading's
select
    s.next_step,
    min_by(s.reason, s.reading_id) as reason,
    count(*) as reading_count,
    count(distinct m.visit_id) as visit_count,
    count(*) filter (where m.rise_k - m.floor_k >= $warm_k::double) as warm_count,
    count(m.load_fraction) as clamped_count
from screening.result as s
inner join normalise.measure as m using (reading_id)
where m.quarter = $quarter::varchar and s.verdict = 'cannot_judge'
group by s.next_step
order by reading_count desc, s.next_step
