-- title: How the findings found their readings
-- grain: one row a way of matching and a reason to set aside
-- reads: tuning.match
-- params: none
-- caveat: a finding of an inspection that was never read in has no reading
select
    coalesce(matched_by, 'none') as matched_by,
    coalesce(set_aside, '') as set_aside,
    count(*) as finding_count,
    count(*) filter (where is_fault) as fault_count
from tuning.match
group by all
order by all
