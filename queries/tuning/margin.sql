-- title: Findings by class, load and office, within evidence and load
-- grain: one row a subject and level, band of evidence and of load, flagged or not
-- key: subject, level, is_flagged, evidence_band, load_band
-- reads: tuning.candidate
-- params: none
-- caveat: every reading stands once in each subject
with levelled as (
    select
        is_flagged,
        evidence_band,
        load_band(load_fraction) as load_band,
        is_examined,
        is_fault,
        unnest([
            {'subject': 'class', 'level': device_class},
            {'subject': 'load', 'level': load_band(load_fraction)::varchar},
            {'subject': 'office', 'level': office_id}
        ], recursive := true)
    from tuning.candidate
)

select
    subject,
    level,
    is_flagged,
    evidence_band,
    load_band,
    count(*)::bigint as reading_count,
    count(*) filter (where is_examined)::bigint as examined_count,
    count(*) filter (where is_fault)::bigint as fault_count
from levelled
group by subject, level, is_flagged, evidence_band, load_band
order by subject, level, is_flagged, evidence_band, load_band
