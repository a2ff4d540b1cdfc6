-- title: What electricians found, and whether it counts
-- grain: one row a current finding
-- key: finding_id
-- reads: records.finding, records.source_file
-- params: none
-- source: chosen: a loose connection or a device fault is what a flag stands for; an overload is not
-- caveat: what no licensed electrician examined is kept and does not count; not said counts
select
    finding_id,
    file_id,
    inspection_id,
    panel_id,
    position,
    found_at,
    finding,
    finding in ('loose_connection', 'device_fault') as is_fault,
    coalesce(examined_by_licensed, true) as is_counted,
    note,
    ingested_at
from records.finding
left join records.source_file using (file_id)
where is_current
