-- title: Every reading judged, with its reason and what to measure next
-- grain: one row a current reading
-- key: reading_id
-- reads: judging.verdict
-- params: $policy_version, $baseline_version
-- caveat: sentences carry no temperature, so that they hold in °C and °F alike
select
    reading_id, inspection_id, panel_id, position, device_class, verdict,
    case verdict
        when 'recheck' then coalesce(
            recheck_sentence, 'Far colder than any device of its class: something was misread.')
        when 'cannot_judge' then case
            when load_fraction is null
                then 'No current was clamped, so its heat cannot be set against its load.'
            when expected_rise_k is null
                then 'The baseline knows no device of this class yet.'
            when is_unsettled then printf(
                'Only %d minutes after the loads came on: not settled.', load_minutes::integer)
            else printf(
                'At %.0f %% of rating only a fault of %.0f times the usual heat would show.',
                100 * load_fraction, least(smallest_ratio_seen, 999))
        end
        when 'normal' then case
            when is_idle_electronic
                then 'Warm with no load is usual for a device with electronics of its own; '
                || 'with no load this says nothing of its connections.'
            else printf(
                'Usual for its class at %.0f %% of rating (%.1f times the usual heat); a fault of '
                || '%.1f times the usual heat would have been noticed.',
                100 * load_fraction, heat_ratio, smallest_ratio_seen)
        end
        when 'overload' then printf(
            'Carries %.0f %% of rating%s; its heat is explained by its current.',
            100 * load_fraction,
            case when is_over_rating then '' else ', over 80 %% for a continuous load' end)
        else printf(
            'Runs %.1f times as hot for its current as usual%s; %d of %d comparable readings ran '
            || 'hotter for their current.',
            heat_ratio,
            case when verdict = 'overload_and_connection'
                then printf(', and carries %.0f %% of rating', 100 * load_fraction) else '' end,
            hotter_count, comparable_count)
    end as reason,
    case verdict
        when 'recheck' then 'Read ambient, device and current again, and check the units.'
        when 'cannot_judge' then case
            when load_fraction is null then 'Clamp its current and scan again.'
            when expected_rise_k is null then 'Collect readings of this class.'
            when is_unsettled then 'Wait until the loads have run for half an hour and scan again.'
            else 'Scan again when its usual loads run, at 40 % of rating or more.'
        end
        when 'normal' then case
            when is_under_gate then 'Nothing on this evidence; keep the load with the reading.'
            else 'Nothing on this evidence.'
        end
        when 'overload' then 'Refer the circuit’s load to a licensed electrician.'
        when 'suspect_connection' then
            'Refer to a licensed electrician: suspected connection or device fault. Read its '
            || 'termination and wire too.'
        else 'Refer to a licensed electrician: load and suspected connection or device fault.'
    end as next_step,
    score, probability,
    rise_k, load_fraction, expected_rise_k, lower_k, upper_k,
    z as standard_residual,
    heat_ratio,
    heat_ratio - heat_ratio_half as heat_ratio_low,
    heat_ratio + heat_ratio_half as heat_ratio_high,
    smallest_ratio_seen, p_value, hotter_count, comparable_count,
    projected_80_k,
    projected_80_k - 1.96e0 * projected_80_sd_k as projected_80_low_k,
    projected_80_k + 1.96e0 * projected_80_sd_k as projected_80_high_k,
    projected_100_k,
    projected_100_k - 1.96e0 * projected_100_sd_k as projected_100_low_k,
    projected_100_k + 1.96e0 * projected_100_sd_k as projected_100_high_k,
    $policy_version::varchar as policy_version,
    $baseline_version::varchar as baseline_version
from judging.verdict
