-- title: Identities that come next
-- grain: one row
-- reads: records.source_file, records.reading, records.finding
-- params: none
-- caveat: none
select
    (select coalesce(max(file_id), 0) + 1 from records.source_file) as file_id,
    (select coalesce(max(reading_id), 0) + 1 from records.reading) as reading_id,
    (select coalesce(max(finding_id), 0) + 1 from records.finding) as finding_id
