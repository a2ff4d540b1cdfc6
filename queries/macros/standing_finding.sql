-- What stands of each reading's device at its visit: licensed electricians before others, then a found
-- fault before nothing found (`finding_rank`), then the latest; a finding whose date cannot be does not
-- count. Not said by whom counts as by one, as in tuning.finding. Its names are its own, since those
-- of the query around it would be taken for them.
create or replace temp macro standing_finding(findings_table, readings_table, files_table) as table
select
    scan.reading_id, look.finding_id, look.finding, look.found_at,
    coalesce(look.examined_by_licensed, true) as is_licensed
from query_table(findings_table) as look
inner join query_table(readings_table) as scan using (inspection_id, panel_id, position)
left join query_table(files_table) as sheet using (file_id)
where look.is_current
    and finding_misdated(look.found_at, scan.inspected_at, sheet.ingested_at) is null
qualify row_number() over (
    partition by scan.reading_id
    order by is_licensed desc, finding_rank(look.finding) desc, look.found_at desc,
        look.finding_id desc) = 1
