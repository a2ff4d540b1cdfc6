-- What was found last of each device at a visit, licensed electricians before others; not said by
-- whom counts as by one, as in tuning.finding.
create or replace temp macro standing_finding(findings_table) as table
select
    inspection_id, panel_id, position, finding, found_at,
    coalesce(examined_by_licensed, true) as is_licensed
from query_table(findings_table)
where is_current
qualify row_number() over (
    partition by inspection_id, panel_id, position
    order by is_licensed desc, found_at desc, finding_id desc) = 1
