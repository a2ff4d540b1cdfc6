-- title: The verdict of every reading
-- grain: one row a current reading
-- key: reading_id
-- reads: judging.lined
-- params: $flag_loaded_probability [1], $flag_terminal_peak_k, $flag_termination_rise_k,
--   $flag_face_rise_k, $flag_like_lift_k [K], $flag_wire_degc [degC],
--   $load_continuous_share, $load_any_share, $load_gate_share of rating [1], $worth_smallest_ratio [1],
--   $worth_idle_share of rating [1], $worth_settled_minutes [min], $worth_cold_spreads [1],
--   $material_lift_k [K]
-- source: what lies over the limit of its standard is suspected whatever the baseline says
-- caveat: a verdict is suspected until a licensed electrician has examined the device
with limited as (
    select
        *,
        verdict_over(
            ambient_degc, load_fraction, rise_k, termination_rise_k, conductor_rise_k,
            case when load_fraction < $worth_idle_share::double
                    and device_class in ('standard', 'main')
                then greatest(lift_k, coalesce(terminal_residual_k, lift_k)) end,
            $flag_termination_rise_k::double, $flag_face_rise_k::double,
            $flag_wire_degc::double, $flag_like_lift_k::double) as over_k,
        terminal_residual_k
        - $flag_like_lift_k::double * pow(greatest(coalesce(load_fraction, 0e0), 1e0), 2)
            as like_margin_k
    from judging.lined
),

flagged as (
    select
        * exclude (over_k, like_margin_k),
        verdict_beyond(
            over_k,
            coalesce(load_fraction > $load_continuous_share::double and rise_k <= upper_k, false)
        ) as beyond,
        coalesce(over_k.face > 0e0, false) as is_face_over,
        greatest(
            over_k.termination, over_k.face, over_k.insulation, over_k.wire, over_k.idle,
            termination_rise_k - greatest(rise_k, coalesce(conductor_rise_k, rise_k))
            - $flag_terminal_peak_k::double, like_margin_k) as beyond_margin_k,
        coalesce(
            lift_k >= line_lift_k and heat_ratio >= line_heat_ratio
            and (rise_k > upper_k or coalesce(terminal_residual_k, 0e0) <= lift_k), false)
            as is_face_hot,
        coalesce(
            probability >= line_probability
            and (heat_ratio >= line_heat_ratio or terminal_z is not null)
            and greatest(lift_k, coalesce(terminal_residual_k, 0e0)) >= line_lift_k
            and load_fraction >= line_load_share
            and expected_rise_k is not null,
            false)
        or coalesce(
            termination_rise_k - greatest(rise_k, coalesce(conductor_rise_k, rise_k))
            >= $flag_terminal_peak_k::double, false)
        or coalesce(like_margin_k >= 0e0, false) or beyond is not null as is_suspect,
        coalesce(load_fraction > $load_continuous_share::double, false) as is_loaded,
        coalesce(
            probability >= $flag_loaded_probability::double
            and greatest(lift_k, coalesce(terminal_residual_k, 0e0)) > 0e0,
            false) as is_suspect_if_loaded,
        load_fraction > $load_any_share::double as is_over_rating,
        coalesce(load_fraction < $worth_idle_share::double, false)
        and device_class not in ('standard', 'main') as is_idle_electronic,
        coalesce(z < -$worth_cold_spreads::double, false) as is_too_cold,
        coalesce(load_minutes < $worth_settled_minutes::double, false) as is_unsettled,
        load_fraction < $load_gate_share::double as is_under_gate
    from limited
)

select
    *,
    case
        when is_recheck or (is_too_cold and beyond is null) then 'recheck'
        when load_fraction is null or expected_rise_k is null
            then case when is_suspect then 'suspect_connection' else 'cannot_judge' end
        when is_loaded and (is_suspect or is_suspect_if_loaded) then 'overload_and_connection'
        when is_suspect then 'suspect_connection'
        when is_loaded then 'overload'
        when is_idle_electronic and rise_k <= upper_k then 'normal'
        when is_unsettled or load_fraction < line_load_share then 'cannot_judge'
        when coalesce(smallest_ratio_seen > $worth_smallest_ratio::double, true)
            then 'cannot_judge'
        else 'normal'
    end as verdict,
    case when beyond is not null then verdict_beyond_reason(
        beyond, is_loaded, load_fraction, $flag_termination_rise_k::double,
        $flag_face_rise_k::double, $flag_wire_degc::double, $flag_like_lift_k::double)
    end as beyond_reason,
    $material_lift_k::double as material_lift_k,
    $load_continuous_share::double as load_continuous_share
from flagged
