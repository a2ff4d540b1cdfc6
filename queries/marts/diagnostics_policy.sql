-- title: The policy that most verdicts rest on, with its text
-- grain: one row, none where nothing was judged or its text was not kept
-- key: policy_version
-- reads: screening.result, records.policy
-- params: none
with used as (
    select policy_version, count(*) as reading_count
    from screening.result
    group by policy_version
)

select p.policy_version, p.policy_text
from used as u
inner join records.policy as p using (policy_version)
order by u.reading_count desc, p.taken_at desc, p.policy_version
limit 1
