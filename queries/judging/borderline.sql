-- title: How near each verdict is to another one, and what would settle it
-- grain: one row a current reading
-- key: reading_id
-- reads: judging.verdict
-- params: $flag_loaded_probability [1], $flag_terminal_peak_k [K], $load_continuous_share of rating
--   [1], $camera_k, $air_k standard uncertainties [K],
--   $clamp_share [1] and $clamp_floor_a [A] of the clamp, $doubt odds of another reason [1],
--   $calibration_intercept and $calibration_slope of the log odds [1]
-- source: chance that the instruments' errors carry the reading over the nearest line, normal; the
--   line of the chance as in chance_margin_k; under load it is enough to be over either set of lines
-- caveat: every line for itself; the largest part of the uncertainty names the re-measurement
with uncertain as (
    select
        v.*,
        hypot($clamp_share::double * v.current_a, $clamp_floor_a::double) as current_sd_a,
        least($air_k::double, sqrt(greatest(v.spread_k * v.spread_k - v.variance_k2, 0e0)))
            as air_sd_k,
        v.exponent * v.load_rise_k / greatest(v.current_a, 0.1e0)
        * hypot($clamp_share::double * v.current_a, $clamp_floor_a::double) as clamp_sd_k,
        recalibrated(
            v.line_probability, -$calibration_intercept::double / $calibration_slope::double,
            1e0 / $calibration_slope::double) as line,
        recalibrated(
            $flag_loaded_probability::double,
            -$calibration_intercept::double / $calibration_slope::double,
            1e0 / $calibration_slope::double) as loaded_line,
        greatest(v.z, coalesce(v.terminal_z, v.z)) as most_z,
        greatest(v.lift_k, coalesce(v.terminal_residual_k, v.lift_k)) as most_lift_k,
        case when v.terminal_z is null then (v.heat_ratio - v.line_heat_ratio) * v.load_rise_k end
            as ratio_margin_k
    from judging.verdict as v
),

margined as (
    select
        *,
        hypot(hypot($camera_k::double, air_sd_k), clamp_sd_k) as lift_sd_k,
        (load_fraction - $load_continuous_share::double) * rated_a / current_sd_a as load_margin,
        least(
            chance_margin_k(most_z, spread_k * scale, freedom_square, power, odds, material_odds,
                line, $doubt::double),
            most_lift_k - line_lift_k, ratio_margin_k) as any_margin_k,
        case when is_loaded then least(
            chance_margin_k(most_z, spread_k * scale, freedom_square, power, odds, material_odds,
                loaded_line, $doubt::double),
            most_lift_k) end as loaded_margin_k
    from uncertain
),

chanced as (
    select
        *,
        case when expected_rise_k is not null
            then normal_cdf(-abs(greatest(beyond_margin_k, any_margin_k, loaded_margin_k))
                / lift_sd_k) end as heat_chance,
        normal_cdf(-abs(load_margin)) as load_chance
    from margined
)

select
    * exclude (
        current_sd_a, clamp_sd_k, lift_sd_k, line, loaded_line, most_z, most_lift_k, load_margin,
        any_margin_k, loaded_margin_k, ratio_margin_k, heat_chance, load_chance, air_sd_k),
    case when verdict not in ('recheck', 'cannot_judge') and heat_chance is not null
        then 1e0 - (1e0 - coalesce(heat_chance, 0e0)) * (1e0 - coalesce(load_chance, 0e0))
    end as flip_chance,
    case
        when verdict in ('recheck', 'cannot_judge') or heat_chance is null then null
        when poles > 1 and verdict in ('suspect_connection', 'overload_and_connection')
            then 'other_leg'
        when load_chance > heat_chance or clamp_sd_k > greatest($camera_k::double, air_sd_k)
            then 'current'
        when terminal_z is null then 'termination'
        when air_sd_k > $camera_k::double then 'ambient'
        else 'surface'
    end as settled_by,
    case
        when termination_rise_k - greatest(rise_k, coalesce(conductor_rise_k, rise_k))
            >= $flag_terminal_peak_k::double
            then 'peaks_at_terminal'
        when terminal_z is null then null
        when terminal_residual_k >= greatest(lift_k, line_lift_k)
            and terminal_z > 2e0 and coalesce(wire_z < terminal_z, true)
            then 'peaks_at_terminal'
        when wire_z is not null and abs(terminal_z) <= 2.5e0 and abs(wire_z) <= 2.5e0
            then 'even'
        when lift_k > greatest(terminal_residual_k, line_lift_k) and z > 2e0
            then 'peaks_in_device'
    end as heat_pattern
from chanced
