-- title: Verdicts that are new or read otherwise than those of the screening before
-- grain: one row a reading
-- key: reading_id
-- reads: screening.result, screening.earlier, screening.terminal, normalise.mark
-- params: $screening_id
-- source: chosen: another verdict, reason or next step, or another hundredth of the probability
-- caveat: numbers that move by less keep those of the screening that first said so
select
    $screening_id::integer as screening_id,
    r.reading_id,
    r.verdict,
    r.reason,
    r.next_step,
    r.probability,
    r.heat_ratio,
    r.expected_rise_k,
    r.lower_k,
    r.upper_k,
    r.rise_k,
    r.standard_residual,
    t.terminal_residual_k,
    r.smallest_ratio_seen,
    m.reading_id is not null as is_recheck
from screening.result as r
left join normalise.mark as m using (reading_id)
left join screening.terminal as t using (reading_id)
left join screening.earlier as e using (reading_id)
where e.reading_id is null
    or e.verdict <> r.verdict
    or e.reason <> r.reason
    or e.next_step <> r.next_step
    or round(e.probability, 2) is distinct from round(r.probability, 2)
