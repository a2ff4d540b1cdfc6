-- The baseline as it stands in the fit, laid on its own rows with the visits' effects: residual [K]
-- and weight [1/K^2], robust by `fitting.robust`: Huber's weight while huber_tuning is above 0, then
-- the bisquare. Source: r = s + d + g (1 + u + v) x^n k(t) + beta floor + gamma neighbours + a + b + e
create or replace temp macro predicted_rows(design_table, visit_table) as table
with resided as (
    select
        l.*,
        coalesce(v.offset_k, 0e0) as visit_k,
        l.panel_residual_k - coalesce(v.offset_k, 0e0) as residual_k
    from laid_baseline(design_table) as l
    left join query_table(visit_table) as v using (visit_id)
)

select
    r.*,
    r.design_weight / r.variance_k2
    * case when t.huber_tuning > 0
        then huber(r.residual_k / sqrt(r.variance_k2), t.huber_tuning)
        else bisquare(r.residual_k / sqrt(r.variance_k2), t.tuning)
    end as weight
from resided as r
cross join fitting.robust as t
