-- title: Which baseline and policy the verdicts in the store rest on
-- grain: one row a baseline and policy found in the verdicts
-- key: baseline_version, policy_version
-- reads: screening.result, records.baseline_version
-- params: none
with used as (
    select baseline_version, policy_version, count(*) as reading_count
    from screening.result
    group by baseline_version, policy_version
),

fitted as (
    select
        *,
        json_extract(parameters, '$.exponent.face')::double as exponent,
        json_extract(parameters, '$.exponent_sd')::double as exponent_sd,
        row_number() over (order by fitted_at desc) = 1 as is_in_force
    from records.baseline_version
    qualify row_number() over (partition by baseline_version order by fitted_at desc) = 1
)

select
    u.baseline_version,
    u.policy_version,
    u.reading_count,
    timezone('UTC', f.fitted_at)::date as fitted_on,
    f.data_hash,
    f.program_version,
    f.exponent,
    f.exponent_sd,
    coalesce(f.is_in_force, false) as is_in_force
from used as u
left join fitted as f using (baseline_version)
order by u.baseline_version, u.policy_version
