-- title: Degrees of freedom that the visits' effects take from the rows
-- grain: one row a group
-- key: group_id
-- reads: fitting.standing, fitting.visit_sum
-- params: $visit_variance variance of the visit effect [K^2]
-- source: trace of the smoother of a shrunken mean; Ruppert, Wand & Carroll 2003, from memory
select
    r.group_id,
    fsum(r.weight / (v.w + 1e0 / $visit_variance::double)) as spent
from fitting.standing as r
inner join fitting.visit_sum as v using (visit_id)
group by r.group_id
order by r.group_id
