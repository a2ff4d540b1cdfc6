-- Residuals with the visit's effect estimated from the visit's other devices only: a reading and
-- its other channels never judge themselves. Two reweighted steps from a shrunken median; the
-- visit's effect is a best linear unbiased prediction (Robinson 1991). Rows that contradict
-- themselves are judged but tell nothing of their visit. What is summed up of a visit is joined back
-- while the rows stream past: wide rows are never kept in between.
create or replace temp macro left_out(rows_table, visit_variance, tuning) as table
with telling as not materialized (
    select visit_id, reading_id, channel, panel_residual_k as e, variance_k2 as v
    from query_table(rows_table)
    where is_telling
),

started as (
    select visit_id, median(e) * count(*) / (count(*) + 2e0) as start_k
    from telling
    group by visit_id
),

first_near as not materialized (
    select t.*, nearness(e, start_k, v, tuning) as near
    from telling as t
    inner join started using (visit_id)
),

first_step as materialized (
    select visit_id, fsum(near * near / v * e) / (fsum(near * near / v) + 1e0 / visit_variance)
        as first_k
    from first_near
    group by visit_id
),

second_near as not materialized (
    select t.*, first_k, nearness(e, first_k, v, tuning) as near
    from telling as t
    inner join first_step using (visit_id)
),

whole as materialized (
    select
        visit_id,
        any_value(first_k) as first_k,
        fsum(near * near / v) as w,
        fsum(near * near / v * e) as w_e
    from second_near
    group by visit_id
),

several_channels as materialized (
    select reading_id, fsum(near * near / v) as own_w, fsum(near * near / v * e) as own_w_e
    from second_near
    where reading_id in (select reading_id from telling where channel <> 'face')
    group by reading_id
),

joined as (
    select
        r.*,
        s.own_w,
        s.own_w_e,
        coalesce(v.w, 0e0) as w,
        coalesce(v.w_e, 0e0) as w_e,
        case when is_telling then nearness(panel_residual_k, first_k, variance_k2, tuning)
            else 0e0 end as near
    from query_table(rows_table) as r
    left join whole as v using (visit_id)
    left join several_channels as s using (reading_id)
),

others as (
    select
        * exclude (w, w_e, own_w, own_w_e, near),
        w_e - coalesce(own_w_e, near * near / variance_k2 * panel_residual_k) as others_w_e,
        greatest(w - coalesce(own_w, near * near / variance_k2) + 1e0 / visit_variance, 1e-9)
            as others_w
    from joined
)

select
    * exclude (others_w_e, others_w),
    others_w_e / others_w as visit_k,
    panel_residual_k - others_w_e / others_w as residual_k,
    sqrt(variance_k2 + 1e0 / others_w) as spread_k
from others
