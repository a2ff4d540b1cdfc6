-- title: Which baseline and policy the verdicts in the store rest on
-- grain: one row a baseline and policy found in the verdicts
-- key: baseline_version, policy_version
-- reads: screening.result, records.baseline_version
-- params: none
select
    s.baseline_version,
    s.policy_version,
    count(*) as reading_count,
    max(b.fitted_at)::date as fitted_on,
    max(b.data_hash) as data_hash,
    max(b.program_version) as program_version,
    max(json_extract(b.parameters, '$.exponent.face')::double) as exponent,
    max(json_extract(b.parameters, '$.exponent_sd')::double) as exponent_sd,
    coalesce(max(b.fitted_at) = (select max(fitted_at) from records.baseline_version), false)
        as is_in_force
from screening.result as s
left join (
    select * from records.baseline_version
    qualify row_number() over (partition by baseline_version order by fitted_at desc) = 1
) as b using (baseline_version)
group by s.baseline_version, s.policy_version
order by s.baseline_version, s.policy_version
