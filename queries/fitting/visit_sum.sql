-- title: Residual sums of each visit, its own effect put back
-- grain: one row a visit
-- key: visit_id
-- reads: fitting.standing
-- params: none
select
    visit_id,
    min(camera_level_id) as camera_level_id,
    fsum(weight) as w,
    fsum(weight * (residual_k + visit_k)) as w_e
from fitting.standing
group by visit_id
