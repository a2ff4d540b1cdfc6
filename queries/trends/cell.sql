-- title: Judged readings of every subject and what was found, by quarter and kind of case
-- grain: one row a subject, level, quarter, measure and stratum
-- key: subject, level, quarter_index, measure, stratum
-- reads: trends.reading
-- params: none
-- source: chosen: flagged readings are compared within class and load band, overloads within class,
--   since the load is what makes them; the stratum holds the band of air and the office besides
with spread as (
    select
        quarter_index, is_flagged, is_over, device_class, load_band, ambient_band, office,
        unnest([
            {'subject': 'firm', 'level': 'the whole firm'},
            {'subject': 'class', 'level': device_class},
            {'subject': 'office', 'level': office},
            {'subject': 'camera', 'level': camera},
            {'subject': 'inspector', 'level': inspector},
            {'subject': 'make', 'level': make}
        ], recursive := true)
    from trends.reading
    where is_judged
),

measured as (
    select
        subject, level, quarter_index, ambient_band, office,
        unnest([
            {'measure': 'flagged', 'kind': device_class || '/' || load_band,
                'is_hit': is_flagged},
            {'measure': 'overload', 'kind': device_class, 'is_hit': is_over}
        ], recursive := true)
    from spread
)

select
    subject,
    level,
    quarter_index,
    measure,
    kind,
    kind || case when subject = 'firm' then '/' || ambient_band || '/' || office else '' end
        as stratum,
    count(*)::integer as judged_count,
    count(*) filter (where is_hit)::integer as hit_count
from measured
group by all
