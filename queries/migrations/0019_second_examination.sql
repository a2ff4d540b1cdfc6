-- Findings of another time than the one that replaced them were second examinations, no corrections:
-- the last of each time found counts again.
update records.finding set is_current = true
where finding_id in (
    select max(finding_id) from records.finding
    group by inspection_id, panel_id, position, found_at
)
