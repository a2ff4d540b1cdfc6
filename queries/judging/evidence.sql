-- title: Evidence for a fault at the reading's own current
-- grain: one row a clamped reading
-- key: reading_id
-- reads: judging.residual, normalise.measure, fitting.mixture
-- params: $material_lift_k lift from which a fault is material [K], $ratio_step of the grid [1]
-- source: likelihood ratio against excess heat proportional to x^n, ratios weighed as the fleet's
-- caveat: a fault sits at the terminal or in the device; the mixture says how often, and what
--   each shows in the other channel. Material is a lift of face or terminal
with paired as (
    select
        f.*,
        t.z as terminal_z,
        f.load_rise_k / (t.spread_k * t.scale) as terminal_size,
        t.load_rise_k as terminal_load_rise_k,
        t.residual_k as terminal_residual_k,
        x.freedom,
        x.temper,
        x.tail_scale as s,
        x.ratios,
        x.weights,
        x.channel_correlation,
        x.terminal_share,
        x.face_per_terminal,
        x.terminal_per_face,
        material_weights(
            x.ratios, x.fault_weights, f.load_rise_k,
            $material_lift_k::double * x.face_per_terminal, $ratio_step::double) as at_terminal,
        material_weights(
            x.ratios, x.fault_weights, f.load_rise_k,
            $material_lift_k::double, $ratio_step::double) as in_device
    from judging.residual as f
    inner join normalise.measure as m using (reading_id)
    inner join fitting.mixture as x
        on x.pole_family = pole_family(m.device_class, m.is_multi_pole)
        and x.is_working = (m.load_fraction >= x.working_share)
    left join judging.residual as t
        on t.reading_id = f.reading_id and t.channel = 'termination'
    where f.channel = 'face'
)

select
    * exclude (
        ratios, weights, at_terminal, in_device, freedom, temper, s, channel_correlation, terminal_share,
        face_per_terminal, terminal_per_face),
    case when terminal_z is null
        then fault_odds(z / s, load_size / s, freedom, temper, ratios, weights)
        else terminal_share * paired_odds(
            z / s, terminal_z / s, load_size / s, terminal_size / s, 1e0 / face_per_terminal,
            channel_correlation, freedom, temper, ratios, weights)
        + (1e0 - terminal_share) * paired_odds(
            z / s, terminal_z / s, load_size / s, terminal_size / s, terminal_per_face,
            channel_correlation, freedom, temper, ratios, weights)
    end as odds,
    case when terminal_z is null
        then terminal_share * fault_odds(z / s, load_size / s, freedom, temper, ratios, at_terminal)
        + (1e0 - terminal_share) * fault_odds(z / s, load_size / s, freedom, temper, ratios, in_device)
        else terminal_share * paired_odds(
            z / s, terminal_z / s, load_size / s, terminal_size / s, 1e0 / face_per_terminal,
            channel_correlation, freedom, temper, ratios, at_terminal)
        + (1e0 - terminal_share) * paired_odds(
            z / s, terminal_z / s, load_size / s, terminal_size / s, terminal_per_face,
            channel_correlation, freedom, temper, ratios, in_device)
    end as material_odds
from paired
