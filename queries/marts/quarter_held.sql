-- title: The quarters that the verdicts cover
-- grain: one row a quarter
-- key: quarter
-- reads: normalise.measure, screening.result
-- params: none
-- caveat: a reading that contradicts itself is no sign of a quarter: its date may be wrong
select
    m.quarter,
    count(*) as reading_count,
    min(m.inspected_at)::date as first_on,
    max(m.inspected_at)::date as last_on
from normalise.measure as m
inner join screening.result as s using (reading_id)
where s.verdict <> 'recheck'
group by m.quarter
order by m.quarter
