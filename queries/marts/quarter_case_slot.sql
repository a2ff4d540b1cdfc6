-- title: The devices of the panels that the cases sit in
-- grain: one row a visit and position
-- key: visit_id, position
-- reads: screening.result, normalise.measure
-- params: $visit_ids the visits
-- caveat: where one position was read twice the stronger reading stands, with the count of both
select
    m.visit_id,
    m.position,
    m.device_class,
    m.poles,
    m.rated_a,
    m.rise_k,
    m.load_fraction,
    s.verdict,
    count(*) over (partition by m.visit_id, m.position) as reading_count
from normalise.measure as m
inner join screening.result as s using (reading_id)
where m.visit_id in (select unnest($visit_ids::bigint[]))
qualify row_number() over (
    partition by m.visit_id, m.position order by s.score desc nulls last, m.reading_id) = 1
order by m.visit_id, m.position
