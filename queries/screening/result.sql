-- title: Every reading judged, with its reason and what to measure next
-- grain: one row a current reading
-- key: reading_id
-- reads: judging.borderline
-- params: $policy_version, $baseline_version
-- caveat: sentences carry no temperature, so that they hold in °C and °F alike; words of the reason
--   and of the next step live in macros
select
    reading_id, inspection_id, panel_id, position, device_class, verdict,
    verdict_reason(
        verdict, recheck_sentence, load_fraction, expected_rise_k is not null, is_unsettled,
        load_minutes, smallest_ratio_seen, is_idle_electronic, heat_ratio, is_over_rating,
        load_continuous_share, hotter_count, comparable_count, heat_pattern,
        beyond_reason, is_face_hot, terminal_residual_k, wire_z, is_face_over) as reason,
    verdict_next_step(
        verdict, load_fraction, expected_rise_k is not null, is_unsettled, is_under_gate,
        is_over_rating, load_minutes, settled_by, flip_chance, beyond,
        termination_rise_k is not null, smallest_ratio_seen, is_idle_electronic,
        is_face_over) as next_step,
    score, probability, local_fdr,
    rise_k, load_fraction, expected_rise_k, lower_k, upper_k,
    z as standard_residual,
    heat_ratio,
    heat_ratio - heat_ratio_half as heat_ratio_low,
    heat_ratio + heat_ratio_half as heat_ratio_high,
    smallest_ratio_seen, p_value, q_value, hotter_count, comparable_count,
    flip_chance, settled_by, heat_pattern,
    visit_k as panel_shift_k,
    projected_80_k,
    projected_80_k - 1.96e0 * projected_80_sd_k as projected_80_low_k,
    projected_80_k + 1.96e0 * projected_80_sd_k as projected_80_high_k,
    projected_100_k,
    projected_100_k - 1.96e0 * projected_100_sd_k as projected_100_low_k,
    projected_100_k + 1.96e0 * projected_100_sd_k as projected_100_high_k,
    $policy_version::varchar as policy_version,
    $baseline_version::varchar as baseline_version
from judging.borderline
