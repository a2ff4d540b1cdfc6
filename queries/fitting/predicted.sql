-- title: The baseline as it stands, laid on its own rows
-- grain: one row a reading and channel
-- key: reading_id, channel
-- reads: fitting.design, fitting.visit_effect
-- params: $tuning where the robust weight reaches nil [1]; $huber_tuning where Huber's weight starts
--   to fall, 0 for the bisquare [1]
-- source: r = s + d + g (1 + u + v) x^n k(t) + beta floor + gamma neighbours + a + b + e
select
    l.*,
    coalesce(v.offset_k, 0e0) as visit_k,
    l.panel_residual_k - coalesce(v.offset_k, 0e0) as residual_k,
    l.design_weight / l.variance_k2
    * case when $huber_tuning::double > 0
        then huber(
            (l.panel_residual_k - coalesce(v.offset_k, 0e0)) / sqrt(l.variance_k2),
            $huber_tuning::double)
        else bisquare(
            (l.panel_residual_k - coalesce(v.offset_k, 0e0)) / sqrt(l.variance_k2),
            $tuning::double)
    end as weight
from laid_baseline('fitting.design') as l
left join fitting.visit_effect as v using (visit_id)
