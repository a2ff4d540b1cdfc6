-- title: Evidence for a fault at the reading's own current
-- grain: one row a clamped reading
-- key: reading_id
-- reads: judging.residual, fitting.group_level, fitting.mixture
-- params: $material_lift_k lift from which a fault is material [K], $ratio_step of the grid [1],
--   $crimp_share of terminal faults that sit away from the device and leave its face cool [1],
--   $doubt odds of another reason than a fault for what looks like one [1]
-- source: likelihood ratio against excess heat proportional to x^n, ratios weighed as the fleet's;
--   squared distances are counted in that of the reading, freedom added
-- caveat: a fault sits at the terminal or in the device; the mixture says how often, and what
--   each shows in the other channel. Material is a lift of face or terminal
with paired as (
    select
        f.*,
        w.z as wire_z,
        t.z as terminal_z,
        t.residual_k as terminal_residual_k,
        f.load_rise_k / (t.spread_k * t.scale) / x.face_per_terminal as at_terminal,
        f.load_rise_k / (t.spread_k * t.scale) * x.terminal_per_face as in_device,
        x.* exclude (pole_family, is_working, working_share, fault_share),
        x.temper * (x.freedom + case when t.z is null then 1e0 else 2e0 end) / 2e0 as power,
        x.freedom * x.tail_scale * x.tail_scale as freedom_square,
        ln(greatest(x.ratios[1] * f.load_rise_k, 1e-9) / $material_lift_k::double)
        / ln($ratio_step::double) + 0.5e0 as device_step,
        ln(greatest(x.ratios[1] * f.load_rise_k / x.face_per_terminal, 1e-9)
            / $material_lift_k::double) / ln($ratio_step::double) + 0.5e0 as terminal_step
    from judging.residual as f
    inner join fitting.group_level as g using (group_id)
    inner join fitting.mixture as x
        on x.pole_family = pole_family(g.device_class, g.is_multi_pole)
        and x.is_working = (f.load_fraction >= x.working_share)
    left join judging.residual as t
        on t.reading_id = f.reading_id and t.channel = 'termination'
    left join judging.residual as w on w.reading_id = f.reading_id and w.channel = 'conductor'
    where f.channel = 'face'
),

squared as (
    select
        *,
        freedom_square + case when terminal_z is null then z * z
            else joint_square(z, terminal_z, channel_correlation) end as own,
        case when terminal_z is null then z * load_size
            else joint_cross(z, terminal_z, load_size, at_terminal, channel_correlation) end as cross_t,
        case when terminal_z is null then load_size * load_size
            else joint_square(load_size, at_terminal, channel_correlation) end as square_t,
        joint_cross(z, terminal_z, load_size, in_device, channel_correlation) as cross_d,
        joint_square(load_size, in_device, channel_correlation) as square_d,
        joint_cross(z, terminal_z, 0e0, at_terminal, channel_correlation) as cross_c,
        joint_square(0e0, at_terminal, channel_correlation) as square_c,
        case when terminal_z is not null then ratios end as pair_ratios
    from paired
),

likened as (
    select
        *,
        fault_likelihoods(0e0, cross_t / own, square_t / own, 1e0, power,
            case when own is not null then ratios end) as likely_t,
        fault_likelihoods(0e0, cross_d / own, square_d / own, 1e0, power, pair_ratios) as likely_d,
        fault_likelihoods(0e0, cross_c / own, square_c / own, 1e0, power, pair_ratios) as likely_c
    from squared
),

weighed as (
    select
        reading_id, visit_id, quarter, group_id, load_band, is_taught, exponent,
        load_rise_k, still_rise_k, variance_k2, visit_k, spread_k, center, scale, lower, upper,
        z, terminal_z, terminal_residual_k, wire_z, freedom_square, power,
        [terminal_share * (1e0 - $crimp_share::double), terminal_share * $crimp_share::double,
            1e0 - terminal_share] as shares,
        [list_inner_product(weights, likely_t),
            coalesce(list_inner_product(weights, likely_c), list_inner_product(weights, likely_t)),
            coalesce(list_inner_product(weights, likely_d), list_inner_product(weights, likely_t))
        ] as any_odds,
        [material_odds(likely_t, fault_weights, terminal_step),
            material_odds(coalesce(likely_c, likely_t), fault_weights, terminal_step),
            material_odds(coalesce(likely_d, likely_t), fault_weights, device_step)
        ] as large_odds
    from likened
)

select
    * exclude (shares, any_odds, large_odds),
    list_inner_product(shares, any_odds)
    / (1e0 + $doubt::double * list_inner_product(shares, any_odds)) as odds,
    list_inner_product(shares, large_odds)
    / (1e0 + $doubt::double * list_inner_product(shares, any_odds)) as material_odds
from weighed
