-- title: The groups that rows of the fit belong to
-- grain: one row a group
-- key: group_id
-- reads: fitting.design, fitting.kind
-- params: none
select distinct group_id
from fitting.design
inner join fitting.kind using (kind_id)
order by group_id
