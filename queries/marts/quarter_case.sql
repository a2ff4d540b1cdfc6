-- title: The strongest cases of a quarter
-- grain: one row a flagged reading, strongest evidence first
-- key: reading_id
-- reads: screening.result, normalise.measure, records.reading
-- params: $quarter such as 2026Q3, $case_count how many
-- caveat: suspected until a licensed electrician has examined the device
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
where m.quarter = $quarter::varchar
    and s.verdict in ('suspect_connection', 'overload_and_connection')
order by s.score desc, s.reading_id
limit $case_count::integer
