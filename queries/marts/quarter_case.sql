-- title: The cases that a quarter's page shows
-- grain: one row a reading asked for, in their order
-- key: reading_id
-- reads: screening.result, normalise.measure, records.reading
-- params: $reading_ids the cases
-- source: heat ratio = (rise - expected + usual load part) / usual load part, solved for that part
-- caveat: suspected until a licensed electrician has examined the device; the load part [K] cannot
--   be told where the heat is just the usual
select
    s.reading_id,
    m.visit_id,
    s.inspection_id,
    s.panel_id,
    s.position,
    s.device_class,
    s.verdict,
    s.reason,
    s.next_step,
    s.probability,
    s.rise_k,
    s.load_fraction,
    s.expected_rise_k,
    s.lower_k,
    s.upper_k,
    s.heat_ratio,
    s.heat_ratio_low,
    s.heat_ratio_high,
    s.flip_chance,
    (s.rise_k - s.expected_rise_k) / nullif(s.heat_ratio - 1e0, 0e0) as usual_load_k,
    m.poles,
    m.rated_a,
    m.current_a,
    m.termination_rise_k,
    m.inspected_at,
    m.office_id,
    m.inspector_id,
    r.panel_location,
    r.note
from screening.result as s
inner join normalise.measure as m using (reading_id)
inner join records.reading as r using (reading_id)
where s.reading_id in (select unnest($reading_ids::bigint[]))
order by list_position($reading_ids::bigint[], s.reading_id)
