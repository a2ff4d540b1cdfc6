-- title: Visits of a panel
-- grain: one row a panel in an inspection
-- key: visit_id
-- reads: records.reading
-- params: none
-- caveat: a panel scanned twice in one inspection is one visit
select
    row_number() over (order by inspection_id, panel_id) as visit_id,
    inspection_id,
    panel_id,
    min(inspected_at) as inspected_at
from records.reading
where is_current
group by inspection_id, panel_id
