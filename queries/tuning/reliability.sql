-- title: Stated chances against what was found
-- grain: one row a band of evidence, flagged or not
-- key: evidence_band, is_flagged
-- reads: tuning.candidate
-- params: none
-- caveat: among the examined only; the flagged are examined more often than the rest
select
    evidence_band,
    is_flagged,
    count(*) as reading_count,
    count(*) filter (where is_examined) as examined_count,
    count(*) filter (where is_fault) as fault_count,
    fsum(probability) filter (where is_examined) / count(*) filter (where is_examined)
        as stated_chance
from tuning.candidate
group by evidence_band, is_flagged
order by evidence_band, is_flagged
