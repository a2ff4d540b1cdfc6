-- title: The numbers of every judgement in a span of readings
-- grain: one row a current reading
-- key: reading_id
-- reads: normalise.measure, judging.evidence, judging.rank, judging.discovery,
--   judging.notice, judging.warm_share
-- params: $exponent_sd of the face's exponent [1], $clamp_share and $clamp_floor_a of the clamp
--   [1, A], $rise_sd_k standard uncertainty of a rise [K], $calibration_intercept and
--   $calibration_slope of the log odds, by which findings moved the chance [1], $own_classes
--   those with lines of their own, $first_reading, $last_reading
-- source: healthy interval from the calibrated tails; projection by JCGM 100 with the exponent
-- caveat: no projection below a twentieth of the rating; the local false-discovery rate and q stay as
--   the fleet teaches them, whatever findings made of the chance
with joined as (
    select
        m.*,
        e.* exclude (reading_id, visit_id, quarter, lower, upper),
        e.still_rise_k + e.load_rise_k + e.visit_k + e.center * e.spread_k as expected_rise_k,
        e.still_rise_k + e.load_rise_k + e.visit_k + e.lower * e.spread_k as lower_k,
        e.still_rise_k + e.load_rise_k + e.visit_k + e.upper * e.spread_k as upper_k,
        k.comparable_count,
        k.hotter_count,
        k.p_value,
        d.q_value,
        n.threshold_z,
        w.suspect_share
    from normalise.measure as m
    left join judging.evidence as e
        on e.reading_id = m.reading_id and e.reading_id between $first_reading::bigint
            and $last_reading::bigint
    left join judging.rank as k
        on k.reading_id = m.reading_id and k.reading_id between $first_reading::bigint
            and $last_reading::bigint
    left join judging.discovery as d
        on d.reading_id = m.reading_id and d.reading_id between $first_reading::bigint
            and $last_reading::bigint
    left join judging.notice as n
        on n.own_place = coalesce(list_position($own_classes::varchar[], m.device_class), 0)
        and n.size_bin = notice_bin(e.load_rise_k / (e.spread_k * e.scale))
        and n.spread_bin = notice_bin(e.spread_k * e.scale)
    left join judging.warm_share as w
        on m.load_fraction is null and w.device_class = m.device_class
        and w.is_multi_pole = m.is_multi_pole
        and w.warm_band
        = least(greatest(floor((m.rise_k - coalesce(m.floor_k, 0e0)) / 2e0), -3), 20)::integer
    where m.reading_id between $first_reading::bigint and $last_reading::bigint
),

ratioed as (
    select
        *,
        coalesce(
            recalibrated(
                material_odds / (1e0 + odds), $calibration_intercept::double,
                $calibration_slope::double),
            suspect_share, 1e-3) as probability,
        healthy_chance(is_multi_pole, odds, material_odds) as local_fdr,
        rise_k - expected_rise_k as lift_k,
        (rise_k - expected_rise_k + load_rise_k) / nullif(load_rise_k, 0e0) as heat_ratio,
        1.96e0 * spread_k * scale / nullif(load_rise_k, 0e0) as heat_ratio_half,
        1e0 + greatest(threshold_z + 0.84e0, 0e0) * spread_k * scale / nullif(load_rise_k, 0e0)
            as smallest_ratio_seen,
        rise_k - expected_rise_k + load_rise_k as own_load_rise_k,
        hypot(
            $rise_sd_k::double,
            (rise_k - expected_rise_k + load_rise_k) * exponent
            * hypot($clamp_share::double, $clamp_floor_a::double / greatest(current_a, 0.1e0)))
            as own_load_sd_k
    from joined
)

select
    *,
    ln(greatest(probability, 1e-12)) - ln(greatest(1e0 - probability, 1e-12)) as score,
    case when load_fraction >= 0.05e0 then projected_k(
        expected_rise_k - load_rise_k, own_load_rise_k, load_fraction, exponent, 0.8e0)
    end as projected_80_k,
    case when load_fraction >= 0.05e0 then projected_sd_k(
        own_load_rise_k, own_load_sd_k, load_fraction, exponent, $exponent_sd::double, 0.8e0)
    end as projected_80_sd_k,
    case when load_fraction >= 0.05e0 then projected_k(
        expected_rise_k - load_rise_k, own_load_rise_k, load_fraction, exponent, 1e0)
    end as projected_100_k,
    case when load_fraction >= 0.05e0 then projected_sd_k(
        own_load_rise_k, own_load_sd_k, load_fraction, exponent, $exponent_sd::double, 1e0)
    end as projected_100_sd_k
from ratioed
