-- title: Visits of a file in which a position and time found occur more than once
-- grain: one row a visit
-- key: inspection_id, panel_id
-- reads: records.finding, touched_visit
-- params: none
-- caveat: findings of earlier files count too, where they are still current
select inspection_id, panel_id
from records.finding
semi join touched_visit using (inspection_id, panel_id)
where is_current
group by inspection_id, panel_id
having count(*) > count(distinct (position, found_at))
