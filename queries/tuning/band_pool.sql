-- title: Devices not flagged that could still be examined
-- grain: one row an evidence band
-- key: evidence_band
-- reads: tuning.candidate
-- params: none
-- caveat: the latest scan of a slot stands for the device; none older than a year, as in
--   tuning.planned
with latest as (
    select *
    from tuning.candidate
    where inspected_at >= (select max(inspected_at) from tuning.candidate) - interval 365 day
    qualify row_number() over (
        partition by panel_id, position order by inspected_at desc, reading_id desc) = 1
)

select
    evidence_band,
    count(*) filter (where not is_examined) as open_count
from latest
where not is_flagged
group by evidence_band
order by evidence_band
