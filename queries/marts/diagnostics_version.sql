-- title: Every baseline fitted, the latest first, and how many verdicts rest on it
-- grain: one row a fit
-- key: number
-- reads: records.baseline_version
-- params: none
-- caveat: times are UTC
select
    row_number() over (order by fitted_at) as number,
    baseline_version,
    timezone('UTC', fitted_at) as fitted_at,
    program_version,
    data_hash,
    settings_hash,
    json_extract(parameters, '$.exponent.face')::double as exponent,
    json_extract(parameters, '$.exponent_sd')::double as exponent_sd,
    json_extract(parameters, '$.visit_variance')::double as visit_variance_k2,
    fitted_at = max(fitted_at) over () as is_in_force
from records.baseline_version
order by fitted_at desc
