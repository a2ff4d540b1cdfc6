-- title: The last screening, as exported
-- grain: one row a current reading
-- key: inspection_id, panel_id, position
-- reads: screening.result
-- params: none
-- caveat: an older screening does not know readings that came in since
select
    inspection_id,
    panel_id,
    position,
    device_class,
    verdict,
    reason,
    next_step,
    score,
    probability,
    local_fdr,
    rise_k,
    load_fraction,
    expected_rise_k,
    lower_k,
    upper_k,
    standard_residual,
    heat_ratio,
    heat_ratio_low,
    heat_ratio_high,
    smallest_ratio_seen,
    p_value,
    q_value,
    hotter_count,
    comparable_count,
    flip_chance,
    settled_by,
    heat_pattern,
    panel_shift_k,
    projected_80_k,
    projected_80_low_k,
    projected_80_high_k,
    projected_100_k,
    projected_100_low_k,
    projected_100_high_k,
    policy_version,
    baseline_version
from screening.result
order by inspection_id, panel_id, position, reading_id
