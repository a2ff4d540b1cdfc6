-- title: Past verdicts that another policy turns over, with what was found
-- grain: one row a reading whose flag changes
-- key: reading_id
-- reads: screening.result, judging.verdict, normalise.reading, tuning.reading_finding
-- params: none
-- caveat: judged anew from the same readings and baseline; what keeps its flag is not listed
with flagged as (
    select
        r.*,
        v.verdict as new_verdict,
        r.verdict in ('suspect_connection', 'overload_and_connection') as was_flagged,
        v.verdict in ('suspect_connection', 'overload_and_connection') as would_be_flagged
    from screening.result as r
    inner join judging.verdict as v using (reading_id)
)

select
    f.reading_id,
    case when f.would_be_flagged then 'newly flagged' else 'no longer flagged' end as turn,
    f.inspection_id,
    f.panel_id,
    f.position,
    n.inspected_at,
    f.device_class,
    f.verdict,
    f.new_verdict,
    f.probability,
    f.heat_ratio,
    f.load_fraction,
    d.finding,
    d.found_at
from flagged as f
inner join normalise.reading as n using (reading_id)
left join tuning.reading_finding as d using (reading_id)
where f.was_flagged <> f.would_be_flagged
order by turn, f.probability desc, f.reading_id
