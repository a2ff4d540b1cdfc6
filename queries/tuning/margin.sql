-- title: Findings by class, load and office, flagged and not
-- grain: one row a subject and level
-- key: subject, level
-- reads: tuning.candidate
-- params: none
-- caveat: every reading stands once in each subject
with levelled as (
    select
        is_flagged,
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
    count(*) filter (where is_flagged and is_fault) as flagged_faulty,
    count(*) filter (where is_flagged and is_examined and not is_fault) as flagged_sound,
    count(*) filter (where is_flagged and not is_examined) as flagged_unseen,
    count(*) filter (where not is_flagged and is_fault) as clear_faulty,
    count(*) filter (where not is_flagged and is_examined and not is_fault) as clear_sound,
    count(*) filter (where not is_flagged and not is_examined) as clear_unseen
from levelled
group by subject, level
order by subject, level
