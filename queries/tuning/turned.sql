-- title: Past verdicts that another policy turns
-- grain: one row a reading whose verdict changes
-- key: reading_id
-- reads: screening.result, judging.verdict
-- params: none
-- caveat: judged anew from the same readings and baseline; words and chances may change besides
select
    r.reading_id,
    r.inspection_id,
    r.panel_id,
    r.position,
    r.device_class,
    r.verdict,
    v.verdict as new_verdict,
    r.probability,
    r.heat_ratio,
    r.load_fraction,
    r.verdict in ('suspect_connection', 'overload_and_connection') as was_flagged,
    v.verdict in ('suspect_connection', 'overload_and_connection') as would_be_flagged
from screening.result as r
inner join judging.verdict as v using (reading_id)
where r.verdict <> v.verdict
