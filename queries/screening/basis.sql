-- title: What the last screening rests on, and how warm the cool end of its panels was
-- grain: one row in all
-- reads: normalise.measure
-- params: $policy_version, $baseline_version
-- source: floors of one panel in ten lie below, of one in ten above the two given (chosen)
with floors as (
    select visit_id, min(floor_k) as floor_k
    from normalise.measure
    where floor_k is not null
    group by visit_id
)

select
    $policy_version::varchar as policy_version,
    $baseline_version::varchar as baseline_version,
    quantile_cont(floor_k, 0.1e0) as floor_low_k,
    quantile_cont(floor_k, 0.9e0) as floor_high_k
from floors
