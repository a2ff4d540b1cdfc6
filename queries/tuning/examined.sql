-- title: Readings that were examined, with what their chance was stated as
-- grain: one row an examined reading
-- key: reading_id
-- reads: tuning.candidate
-- params: none
-- caveat: the flagged are examined more often than the rest; tuning.reliability counts both
select
    reading_id,
    panel_id,
    score,
    evidence_band,
    is_flagged,
    is_fault
from tuning.candidate
where is_examined
order by reading_id
