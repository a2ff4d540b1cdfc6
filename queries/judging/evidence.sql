-- title: Evidence for a fault at the reading's own current
-- grain: one row a clamped reading
-- key: reading_id
-- reads: judging.residual, normalise.measure, fitting.mixture
-- params: $material_lift_k lift from which a fault is material [K], $ratio_step of the grid [1]
-- source: likelihood ratio against excess heat proportional to x^n, ratios weighed as the fleet's
-- caveat: with a termination read, a fault at the terminal lifts the face half as much, and one
--   in the device the terminal half as much (chosen)
with paired as (
    select
        f.*,
        t.z as terminal_z,
        t.load_size as terminal_size,
        t.load_rise_k as terminal_load_rise_k,
        t.residual_k as terminal_residual_k,
        x.freedom,
        x.tail_scale,
        x.ratios,
        x.weights,
        x.channel_correlation
    from judging.residual as f
    inner join normalise.measure as m using (reading_id)
    inner join fitting.mixture as x on x.is_multi_pole = m.is_multi_pole
    left join judging.residual as t
        on t.reading_id = f.reading_id and t.channel = 'termination'
    where f.channel = 'face'
),

weighed as (
    select
        *,
        material_weights(
            ratios, weights,
            case when terminal_z is null then load_rise_k
                else greatest(load_rise_k, terminal_load_rise_k) end,
            $material_lift_k::double, $ratio_step::double) as material
    from paired
)

select
    * exclude (ratios, weights, material, freedom, tail_scale, channel_correlation),
    case when terminal_z is null
        then fault_odds(z / tail_scale, load_size / tail_scale, freedom, ratios, weights)
        else paired_odds(
            z / tail_scale, terminal_z / tail_scale, load_size / tail_scale,
            terminal_size / tail_scale, channel_correlation, freedom, ratios, weights)
    end as odds,
    case when terminal_z is null
        then fault_odds(z / tail_scale, load_size / tail_scale, freedom, ratios, material)
        else paired_odds(
            z / tail_scale, terminal_z / tail_scale, load_size / tail_scale,
            terminal_size / tail_scale, channel_correlation, freedom, ratios, material)
    end as material_odds
from weighed
