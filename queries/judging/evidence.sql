-- title: Evidence for a fault at the reading's own current
-- grain: one row a clamped reading
-- key: reading_id
-- reads: judging.residual, normalise.measure, fitting.mixture
-- params: $material_lift_k lift from which a fault is material [K], $ratio_step of the grid [1],
--   $crimp_share of terminal faults that sit away from the device and leave its face cool [1]
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
        x.*,
        x.temper * (x.freedom + case when t.z is null then 1e0 else 2e0 end) / 2e0 as power,
        x.tail_scale * x.tail_scale as unit,
        ln(greatest(x.ratios[1] * f.load_rise_k, 1e-9) / $material_lift_k::double)
        / ln($ratio_step::double) + 0.5e0 as device_step,
        ln(greatest(x.ratios[1] * f.load_rise_k / x.face_per_terminal, 1e-9)
            / $material_lift_k::double) / ln($ratio_step::double) + 0.5e0 as terminal_step
    from judging.residual as f
    inner join normalise.measure as m using (reading_id)
    inner join fitting.mixture as x
        on x.pole_family = pole_family(m.device_class, m.is_multi_pole)
        and x.is_working = (m.load_fraction >= x.working_share)
    left join judging.residual as t
        on t.reading_id = f.reading_id and t.channel = 'termination'
    where f.channel = 'face'
),

squared as (
    select
        *,
        case when terminal_z is null then z * z
            else joint_square(z, terminal_z, channel_correlation) end / unit as square,
        case when terminal_z is null then z * load_size
            else joint_cross(
                z, terminal_z, load_size, terminal_size / face_per_terminal, channel_correlation)
        end / unit as terminal_cross,
        case when terminal_z is null then load_size * load_size
            else joint_square(load_size, terminal_size / face_per_terminal, channel_correlation)
        end / unit as terminal_square,
        joint_cross(z, terminal_z, load_size, terminal_size * terminal_per_face, channel_correlation)
        / unit as device_cross,
        joint_square(load_size, terminal_size * terminal_per_face, channel_correlation)
        / unit as device_square,
        joint_cross(z, terminal_z, 0e0, terminal_size / face_per_terminal, channel_correlation)
        / unit as crimp_cross,
        joint_square(0e0, terminal_size / face_per_terminal, channel_correlation)
        / unit as crimp_square
    from paired
),

likened as (
    select
        *,
        fault_likelihoods(
            square, terminal_cross, terminal_square, freedom, power,
            case when square is not null then ratios end) as at_terminal,
        fault_likelihoods(
            square, device_cross, device_square, freedom, power,
            case when terminal_z is not null then ratios end) as in_device,
        fault_likelihoods(
            square, crimp_cross, crimp_square, freedom, power,
            case when terminal_z is not null then ratios end) as at_crimp
    from squared
)

select
    * exclude (
        pole_family, is_working, working_share, fault_share, freedom, temper, tail_scale, ratios,
        weights, fault_weights, channel_correlation, terminal_share, face_per_terminal,
        terminal_per_face, power, unit, device_step, terminal_step, square, terminal_cross, terminal_square,
        device_cross, device_square, crimp_cross, crimp_square,
        at_terminal, in_device, at_crimp),
    terminal_share * (1e0 - $crimp_share::double) * list_inner_product(weights, at_terminal)
    + terminal_share * $crimp_share::double
    * list_inner_product(weights, coalesce(at_crimp, at_terminal))
    + (1e0 - terminal_share) * list_inner_product(weights, coalesce(in_device, at_terminal)) as odds,
    terminal_share * (1e0 - $crimp_share::double)
    * material_odds(at_terminal, fault_weights, terminal_step)
    + terminal_share * $crimp_share::double
    * material_odds(coalesce(at_crimp, at_terminal), fault_weights, terminal_step)
    + (1e0 - terminal_share)
    * material_odds(coalesce(in_device, at_terminal), fault_weights, device_step) as material_odds
from likened
