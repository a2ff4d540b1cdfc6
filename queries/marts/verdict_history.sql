-- title: Every verdict that a device at a visit ever had, the latest first
-- grain: one row a verdict
-- key: screening_id, reading_id
-- reads: records.verdict, records.reading, records.screening
-- params: $inspection_id, $panel_id, $position
-- caveat: a corrected row is another reading of the same device; both are listed
select
    v.*,
    r.is_current,
    r.inspected_at,
    r.device_class,
    r.current_a,
    r.rated_a,
    s.screened_at,
    s.policy_version,
    s.baseline_version,
    s.data_hash,
    s.program_version
from records.verdict as v
inner join records.reading as r using (reading_id)
inner join records.screening as s using (screening_id)
where r.inspection_id = $inspection_id::varchar
    and r.panel_id = $panel_id::varchar
    and r.position = $position::integer
order by v.screening_id desc, v.reading_id desc
