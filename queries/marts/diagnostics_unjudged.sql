-- title: Readings that could not be judged, by what would settle them
-- grain: one row a subject, level and next step
-- key: subject, level, next_step
-- reads: screening.result, normalise.measure
-- params: none
-- caveat: total counts all readings of the level; a level where all were judged has one row whose
--   next step is null. The reason is that of the first reading; numbers in it are that reading's
with seen as (
    select
        s.reading_id,
        s.reason,
        case when s.verdict = 'cannot_judge' then s.next_step end as next_step,
        unnest([
            {'subject': 'whole', 'level': 'all'},
            {'subject': 'class', 'level': m.device_class},
            {'subject': 'office', 'level': coalesce(m.office_id, 'not noted')}
        ], recursive := true)
    from screening.result as s
    inner join normalise.measure as m using (reading_id)
),

counted as (
    select
        subject,
        level,
        next_step,
        min_by(reason, reading_id) as reason,
        count(*) as reading_count,
        sum(count(*)) over (partition by subject, level)::bigint as total_count,
        bool_and(next_step is null) over (partition by subject, level) as is_all_judged
    from seen
    group by subject, level, next_step
)

select
    subject,
    level,
    next_step,
    case when next_step is not null then reason end as reason,
    case when next_step is not null then reading_count else 0 end as reading_count,
    total_count
from counted
where next_step is not null or is_all_judged
order by subject, level, reading_count desc, next_step
