-- title: What the readings to tune on cover
-- grain: one row
-- reads: tuning.candidate, screening.result
-- params: none
-- caveat: a panel scanned twice counts twice; what no policy can flag stands in outside_count
select
    count(distinct quarter) as quarter_count,
    count(distinct visit_id) as visit_count,
    count(*) as reading_count,
    (select count(*) from screening.result) - count(*) as outside_count,
    count(*) filter (where is_flagged) as flagged_count,
    (select min(policy_version) from screening.result) as policy_version,
    (select min(baseline_version) from screening.result) as baseline_version,
    min(inspected_at)::date as first_on,
    max(inspected_at)::date as last_on
from tuning.candidate
