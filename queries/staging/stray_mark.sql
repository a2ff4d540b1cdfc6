-- title: Readings whose date or position is unlike the others of their panel
-- grain: one row a reading and code
-- key: reading_id, code
-- reads: records.reading, visit_shape
-- params: $file_id
-- source: limits chosen as the catalogue of rules says
-- caveat: of two readings with two dates both are marked
with placed as (
    select
        r.reading_id, r.inspected_at, r.position, v.last_position, v.inspected_at as panel_inspected_at,
        v.reading_count > 1
            and abs(date_diff('hour', v.inspected_at, r.inspected_at)) > 48 as is_date_unlike,
        v.reading_count >= 6 and r.position > 42 and r.position = v.last_position[1]
            and r.position - v.last_position[2] >= 12 as is_far_off
    from records.reading as r
    inner join visit_shape as v using (inspection_id, panel_id)
    where r.file_id = $file_id and r.is_current
)

select
    reading_id, 'inspected_at' as column_name, 'date_unlike_inspection' as code,
    inspected_at::date::varchar as value, panel_inspected_at::date::varchar as other
from placed
where is_date_unlike
union all
select reading_id, 'position', 'position_far_off', position::varchar, last_position[2]::varchar
from placed
where is_far_off
