-- title: Which baseline and policy the verdicts in the store rest on, and from when to when
-- grain: one row a baseline and policy
-- key: baseline_version, policy_version
-- reads: screening.result, normalise.measure
-- params: none
-- caveat: the days are of readings that do not contradict themselves
select
    s.baseline_version,
    s.policy_version,
    count(*) as reading_count,
    (min(m.inspected_at) filter (where s.verdict <> 'recheck'))::date as first_on,
    (max(m.inspected_at) filter (where s.verdict <> 'recheck'))::date as last_on
from screening.result as s
inner join normalise.measure as m using (reading_id)
group by s.baseline_version, s.policy_version
order by s.baseline_version, s.policy_version
