-- title: Every flagged or over-limit reading of a quarter, and who has examined its device
-- grain: one row a flagged or over-limit reading, what no licensed electrician examined yet first,
--   then what is hotter than allowed, then the likelier fault in whole percents, then the hotter
-- key: reading_id
-- reads: screening.result, normalise.measure, records.finding, records.source_file
-- params: $quarter such as 2026Q3, $allowed_k rise that a standard allows at full load [K],
--   $any_share of rating that no load may exceed [1], $known_on the day that waiting is counted to
-- source: which finding stands, and who counts as licensed: the macro standing_finding
-- caveat: suspected until a licensed electrician has examined the device; heat is the greater of the
--   rises of face and termination
select
    s.reading_id,
    m.inspection_id,
    m.panel_id,
    m.position,
    m.poles,
    m.device_class,
    m.office_id,
    m.inspector_id,
    m.inspected_at,
    s.verdict,
    s.probability,
    m.rise_k,
    m.termination_rise_k,
    m.rated_a,
    m.load_fraction,
    f.finding,
    f.found_at,
    f.is_licensed,
    s.next_step,
    m.load_minutes,
    coalesce(m.load_fraction > $any_share::double, false) as is_over_rating,
    case when not coalesce(f.is_licensed, false)
        then greatest(datediff('day', m.inspected_at, $known_on::date), 0) end as waiting_days,
    m.load_fraction is not null and s.expected_rise_k is not null as is_drawable
from screening.result as s
inner join normalise.measure as m using (reading_id)
left join standing_finding('records.finding', 'normalise.measure', 'records.source_file') as f
    using (reading_id)
where m.quarter = $quarter::varchar
    and s.verdict in ('suspect_connection', 'overload', 'overload_and_connection')
order by
    coalesce(f.is_licensed, false),
    s.verdict = 'overload',
    greatest(m.rise_k, coalesce(m.termination_rise_k, m.rise_k)) > $allowed_k::double desc,
    round(s.probability, 2) desc,
    greatest(m.rise_k, coalesce(m.termination_rise_k, m.rise_k)) desc,
    s.reading_id
