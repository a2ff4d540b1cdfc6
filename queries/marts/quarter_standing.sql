-- title: The flagged share of every class, office, camera, inspector and make in a quarter
-- grain: one row a subject and level
-- key: subject, level
-- reads: screening.result, normalise.measure
-- params: $quarter such as 2026Q3
-- source: Wilson 1927
-- caveat: the mix of cases is not held: an office with older panels may differ for that; who stands
--   apart is for analytics.trends to say; readings are taken as independent, so the intervals are a
--   little too narrow
with seen as (
    select
        m.panel_id,
        s.verdict not in ('cannot_judge', 'recheck') as is_judged,
        s.verdict in ('suspect_connection', 'overload_and_connection') as is_flagged,
        s.verdict in ('overload', 'overload_and_connection') as is_over,
        unnest([
            {'subject': 'class', 'level': m.device_class},
            {'subject': 'office', 'level': coalesce(m.office_id, 'not noted')},
            {'subject': 'camera', 'level': coalesce(m.camera_id, 'not noted')},
            {'subject': 'inspector', 'level': coalesce(m.inspector_id, 'not noted')},
            {'subject': 'make', 'level': coalesce(m.make, 'not noted')}
        ], recursive := true)
    from screening.result as s
    inner join normalise.measure as m using (reading_id)
    where m.quarter = $quarter::varchar
),

counted as (
    select
        subject,
        level,
        count(distinct panel_id) as panel_count,
        count(*) as reading_count,
        count(*) filter (where is_judged) as judged_count,
        count(*) filter (where is_flagged) as flagged_count,
        count(*) filter (where is_over) as overload_count
    from seen
    group by subject, level
),

whole as (
    select
        subject,
        sum(flagged_count) / greatest(sum(judged_count), 1) as whole_share
    from counted
    group by subject
)

select
    c.*,
    wilson_low(c.flagged_count, c.judged_count) as flagged_low,
    wilson_high(c.flagged_count, c.judged_count) as flagged_high,
    w.whole_share,
    wilson_low(c.judged_count, c.reading_count) as judged_low,
    wilson_high(c.judged_count, c.reading_count) as judged_high
from counted as c
inner join whole as w using (subject)
order by c.subject, c.level
