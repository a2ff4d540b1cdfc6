-- title: Whether the verdicts rest on the baseline in force
-- grain: one row in all
-- reads: screening.result, records.baseline_version
-- params: none
select
    not exists (
        select 1 from screening.result as s
        where s.baseline_version <> (
            select b.baseline_version from records.baseline_version as b
            order by b.fitted_at desc limit 1)
    ) as is_current
