-- title: What a past verdict was drawn from, as judging.verdict takes it
-- grain: one row
-- key: reading_id
-- reads: records.verdict, records.reading
-- params: $screening_id, $reading_id
-- caveat: temperatures and current are those of the reading, which is never changed
select
    v.reading_id,
    v.verdict as verdict_then,
    v.probability,
    v.heat_ratio,
    v.rise_k,
    v.expected_rise_k,
    v.upper_k,
    v.rise_k - v.expected_rise_k as lift_k,
    v.standard_residual as z,
    case when v.terminal_residual_k is not null then 1e0 end as terminal_z,
    v.terminal_residual_k,
    v.smallest_ratio_seen,
    v.is_recheck,
    r.ambient_degc,
    r.termination_degc - r.ambient_degc as termination_rise_k,
    r.conductor_degc - r.ambient_degc as conductor_rise_k,
    r.current_a / r.rated_a as load_fraction,
    r.load_minutes,
    r.device_class
from records.verdict as v
inner join records.reading as r using (reading_id)
where v.screening_id = $screening_id::integer and v.reading_id = $reading_id::bigint
