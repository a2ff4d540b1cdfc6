-- title: Past verdicts whose flag another policy turns over, with what was found
-- grain: one row a reading whose flag changes
-- key: reading_id
-- reads: tuning.turned, normalise.reading, screening.result, tuning.reading_finding
-- params: $recent_days how long a scan tells of the device as it is [d]
-- source: chosen: the days of tuning.planned
-- caveat: of a device scanned again since, the later scan speaks, unless it contradicts itself, as
--   a date slipped into the future does; what keeps its flag is in tuning.turn
with scan as (
    select n.reading_id, n.panel_id, n.position, n.inspected_at
    from normalise.reading as n
    inner join screening.result as r using (reading_id)
    where r.verdict <> 'recheck'
),

last_scan as (
    select panel_id, position, max(inspected_at) as last_at
    from scan
    semi join tuning.turned using (panel_id)
    group by panel_id, position
)

select
    t.reading_id,
    case when t.would_be_flagged then 'newly flagged' else 'no longer flagged' end as turn,
    t.inspection_id,
    t.panel_id,
    t.position,
    n.inspected_at,
    t.device_class,
    t.verdict,
    t.new_verdict,
    t.probability,
    t.heat_ratio,
    t.load_fraction,
    d.finding,
    d.found_at,
    n.inspected_at >= s.last_at as is_latest,
    n.inspected_at >= (select max(inspected_at) from scan)
        - $recent_days::integer * interval 1 day as is_recent
from tuning.turned as t
inner join normalise.reading as n using (reading_id)
inner join last_scan as s on s.panel_id = t.panel_id and s.position = t.position
left join tuning.reading_finding as d using (reading_id)
where t.was_flagged <> t.would_be_flagged
order by turn, t.probability desc, t.reading_id
