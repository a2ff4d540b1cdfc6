-- title: Readings that some policy could flag, with what the lines are drawn on
-- grain: one row a clamped reading that does not contradict itself
-- key: reading_id
-- reads: screening.result, screening.terminal, normalise.measure, normalise.reading,
--   tuning.reading_finding
-- params: the lines of judging.lined and verdict: $flag_probability, $flag_heat_ratio,
--   $flag_loaded_probability, $flag_load_share, $load_continuous_share, $worth_idle_share [1],
--   $flag_lift_k, $flag_terminal_peak_k, $flag_termination_rise_k, $flag_face_rise_k,
--   $flag_like_lift_k [K], $flag_wire_degc [degC], $own_classes, $own_probability, $own_heat_ratio,
--   $own_lift_k, $own_load_share; $calibration_intercept, $calibration_slope [logit, 1]
-- source: the lines of judging.verdict; `is_always` is flagged whatever the lines that are tuned, as
--   is what was flagged though it is under one of them; bands of evidence are of the log odds as the
--   fleet teaches them, so that a recalibration leaves them
-- caveat: without a current no policy flags, so a fault in such a reading is counted by none
with measured as (
    select
        r.reading_id,
        m.visit_id,
        r.inspection_id,
        r.panel_id,
        r.position,
        m.inspected_at,
        m.quarter,
        coalesce(m.office_id, 'not noted') as office_id,
        r.device_class,
        r.load_fraction,
        r.verdict,
        r.verdict in ('suspect_connection', 'overload_and_connection') as is_flagged,
        r.probability,
        r.score,
        r.heat_ratio,
        greatest(r.rise_k - r.expected_rise_k, coalesce(t.terminal_residual_k, 0e0)) as lift_k,
        t.reading_id is not null as has_terminal,
        verdict_beyond(
            verdict_over(
                n.ambient_degc, r.load_fraction, r.rise_k, m.termination_rise_k, m.conductor_rise_k,
                case when r.load_fraction < $worth_idle_share::double
                        and r.device_class in ('standard', 'main')
                    then greatest(r.rise_k - r.expected_rise_k, t.terminal_residual_k) end,
                $flag_termination_rise_k::double, $flag_face_rise_k::double,
                $flag_wire_degc::double, $flag_like_lift_k::double),
            coalesce(
                r.load_fraction > $load_continuous_share::double and r.rise_k <= r.upper_k, false)
        ) is not null
        or coalesce(
            t.terminal_residual_k
            >= $flag_like_lift_k::double * pow(greatest(r.load_fraction, 1e0), 2), false)
            as is_beyond,
        m.termination_rise_k - greatest(m.rise_k, coalesce(m.conductor_rise_k, m.rise_k)) as peak_k
    from screening.result as r
    inner join normalise.measure as m using (reading_id)
    inner join normalise.reading as n using (reading_id)
    left join screening.terminal as t using (reading_id)
    where r.verdict <> 'recheck' and r.load_fraction is not null and r.expected_rise_k is not null
)

select
    m.* exclude (is_beyond),
    m.is_beyond
    or coalesce(m.peak_k >= $flag_terminal_peak_k::double, false)
    or (
        m.load_fraction > $load_continuous_share::double
        and m.probability >= $flag_loaded_probability::double
        and m.lift_k > 0e0
    )
    or (
        m.is_flagged
        and not coalesce(
            m.probability >= line_of(m.device_class, $flag_probability::double,
                $own_classes::varchar[], $own_probability::double[])
            and (m.has_terminal or m.heat_ratio >= line_of(m.device_class,
                $flag_heat_ratio::double, $own_classes::varchar[], $own_heat_ratio::double[]))
            and m.lift_k >= line_of(m.device_class, $flag_lift_k::double,
                $own_classes::varchar[], $own_lift_k::double[])
            and m.load_fraction >= line_of(m.device_class, $flag_load_share::double,
                $own_classes::varchar[], $own_load_share::double[]),
            false)
    ) as is_always,
    least(greatest(floor((m.score - $calibration_intercept::double)
        / $calibration_slope::double), -7), 6)::integer as evidence_band,
    f.reading_id is not null as is_examined,
    coalesce(f.is_fault, false) as is_fault,
    f.finding,
    f.found_at
from measured as m
left join tuning.reading_finding as f using (reading_id)
