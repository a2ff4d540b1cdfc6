-- Residuals with the visit's effect estimated from the visit's other devices only: a reading and
-- its other channels never judge themselves. Two reweighted steps from a shrunken median; the
-- visit's effect is a best linear unbiased prediction (Robinson 1991). Rows that contradict
-- themselves are judged but tell nothing of their visit.
create or replace temp macro left_out(rows_table, visit_variance, tuning) as table
with started as (
    select visit_id, median(panel_residual_k) * count(*) / (count(*) + 2e0) as start_k
    from query_table(rows_table)
    where is_telling
    group by visit_id
),

weighed as (
    select
        r.*,
        coalesce(s.start_k, 0e0) as start_k,
        case when r.is_telling
            then bisquare((r.panel_residual_k - s.start_k) / sqrt(r.variance_k2), tuning)
                / r.variance_k2
            else 0e0 end as start_weight
    from query_table(rows_table) as r
    left join started as s using (visit_id)
),

first_step as (
    select
        visit_id,
        fsum(start_weight * panel_residual_k) / (fsum(start_weight) + 1e0 / visit_variance)
            as first_k
    from weighed
    group by visit_id
),

reweighed as (
    select
        w.* exclude (start_k, start_weight),
        case when w.is_telling
            then bisquare((w.panel_residual_k - f.first_k) / sqrt(w.variance_k2), tuning)
                / w.variance_k2
            else 0e0 end as weight
    from weighed as w
    inner join first_step as f using (visit_id)
),

own as (
    select visit_id, reading_id, fsum(weight) as w, fsum(weight * panel_residual_k) as w_e
    from reweighed
    group by visit_id, reading_id
),

whole as (
    select visit_id, fsum(w) as w, fsum(w_e) as w_e
    from own
    group by visit_id
)

select
    r.* exclude (weight),
    (v.w_e - o.w_e) / greatest(v.w - o.w + 1e0 / visit_variance, 1e-9) as visit_k,
    r.panel_residual_k
    - (v.w_e - o.w_e) / greatest(v.w - o.w + 1e0 / visit_variance, 1e-9) as residual_k,
    sqrt(r.variance_k2 + 1e0 / greatest(v.w - o.w + 1e0 / visit_variance, 1e-9)) as spread_k
from reweighed as r
inner join own as o using (visit_id, reading_id)
inner join whole as v using (visit_id)
