-- title: Stated chances against what was found
-- grain: one row a band of evidence and of load, flagged or not
-- key: evidence_band, load_band, is_flagged
-- reads: tuning.candidate
-- params: none
-- caveat: among the examined only; the flagged are examined more often than the rest
select
    evidence_band,
    is_flagged,
    load_band(load_fraction) as load_band,
    count(*) as reading_count,
    count(*) filter (where is_examined) as examined_count,
    count(*) filter (where is_fault) as fault_count,
    fsum(probability) as stated_sum
from tuning.candidate
group by evidence_band, is_flagged, load_band(load_fraction)
order by evidence_band, is_flagged, load_band
