-- title: Residuals by what should not matter any more: load, air, minutes, and who took them
-- grain: one row a subject and level
-- key: subject, level
-- reads: screening.result, normalise.measure
-- params: $least_count readings from which a level can stand off, $apart_z standard errors from
--   which it does [1], $apart_middle healthy spreads that its median must be off as well [1],
--   $apart_width by which its spread must differ from 1 as well [1]
-- source: large-sample errors of normal quantiles, sqrt(p (1 - p) / n) / density: 1.2533 / sqrt(n) of
--   the median, 0.889 / sqrt(n) of the spread, which is the range of the middle 80 % over 2.5631
-- caveat: readings of one panel share errors, so a level of few panels stands off too easily;
--   readings that contradict themselves are left out
with seen as (
    select
        s.standard_residual as z,
        m.panel_id,
        unnest([
            {'subject': 'load', 'level': load_band(m.load_fraction)::varchar},
            {'subject': 'ambient', 'level': floor(m.ambient_degc / 5)::integer::varchar},
            {'subject': 'minutes', 'level': m.minute_band::varchar},
            {'subject': 'class', 'level': m.device_class},
            {'subject': 'shelter', 'level': m.shelter_level::varchar},
            {'subject': 'camera', 'level': coalesce(m.camera_id, 'not noted')},
            {'subject': 'office', 'level': coalesce(m.office_id, 'not noted')},
            {'subject': 'inspector', 'level': coalesce(m.inspector_id, 'not noted')},
            {'subject': 'make', 'level': coalesce(m.make, 'not noted')}
        ], recursive := true)
    from screening.result as s
    inner join normalise.measure as m using (reading_id)
    where s.standard_residual is not null and not m.is_recheck
),

spread as (
    select
        subject,
        level,
        count(*) as reading_count,
        count(distinct panel_id) as panel_count,
        quantile_cont(z, 0.1e0) as low_tenth,
        quantile_cont(z, 0.25e0) as low_quarter,
        median(z) as middle,
        quantile_cont(z, 0.75e0) as high_quarter,
        quantile_cont(z, 0.9e0) as high_tenth
    from seen
    group by subject, level
)

select
    *,
    (high_tenth - low_tenth) / 2.5631e0 as width,
    reading_count >= $least_count::integer
    and abs(middle)
        >= greatest($apart_middle::double, $apart_z::double * 1.2533e0 / sqrt(reading_count))
        as is_off,
    reading_count >= $least_count::integer
    and abs((high_tenth - low_tenth) / 2.5631e0 - 1e0)
        >= greatest($apart_width::double, $apart_z::double * 0.889e0 / sqrt(reading_count))
        as is_wide
from spread
order by
    subject,
    case when subject in ('load', 'ambient', 'minutes', 'shelter') then level::integer end,
    level
