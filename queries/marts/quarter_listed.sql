-- title: Every flagged or over-limit reading of a quarter, and who has examined its device
-- grain: one row a flagged or over-limit reading, what no licensed electrician examined yet first,
--   then what is hotter than allowed, then the likelier fault in whole percents, then the hotter
-- key: reading_id
-- reads: screening.result, normalise.measure, records.finding
-- params: $quarter such as 2026Q3, $allowed_k rise that a standard allows at full load [K]
-- source: which finding stands, and who counts as licensed: as in quarter_referral
-- caveat: suspected until a licensed electrician has examined the device; heat is the greater of the
--   rises of face and termination
with looked as (
    select
        inspection_id, panel_id, position, finding, found_at,
        coalesce(examined_by_licensed, true) as is_licensed
    from records.finding
    where is_current
    qualify row_number() over (
        partition by inspection_id, panel_id, position
        order by is_licensed desc, found_at desc, finding_id desc) = 1
)

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
    f.is_licensed
from screening.result as s
inner join normalise.measure as m using (reading_id)
left join looked as f
    on f.inspection_id = m.inspection_id and f.panel_id = m.panel_id and f.position = m.position
where m.quarter = $quarter::varchar
    and s.verdict in ('suspect_connection', 'overload', 'overload_and_connection')
order by
    coalesce(f.is_licensed, false),
    s.verdict = 'overload',
    greatest(m.rise_k, coalesce(m.termination_rise_k, m.rise_k)) > $allowed_k::double desc,
    round(s.probability, 2) desc,
    greatest(m.rise_k, coalesce(m.termination_rise_k, m.rise_k)) desc,
    s.reading_id
