-- title: Readings in a quarter's files whose date lies in no quarter of the store
-- grain: one row a reading
-- key: reading_id
-- reads: screening.result, normalise.measure, records.reading, records.source_file
-- params: $quarter such as 2026Q3
-- caveat: mostly a date in the future; they are marked and kept, and no page counts them; files count
--   as in quarter_file
with held as (
    select distinct m.quarter
    from normalise.measure as m
    inner join screening.result as s using (reading_id)
    where s.verdict <> 'recheck'
),

ours as (
    select distinct file_id
    from records.reading
    where year(inspected_at) || 'Q' || quarter(inspected_at) = $quarter::varchar
)

select
    m.reading_id,
    m.inspection_id,
    m.panel_id,
    m.position,
    m.office_id,
    m.inspected_at,
    f.file_name
from normalise.measure as m
inner join screening.result as s using (reading_id)
inner join records.reading as r using (reading_id)
inner join records.source_file as f using (file_id)
where r.file_id in (select o.file_id from ours as o)
    and m.quarter not in (select h.quarter from held as h)
order by f.file_name, m.panel_id, m.position, m.reading_id
