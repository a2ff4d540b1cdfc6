-- title: Identities that come next
-- grain: one row
-- reads: records.source_file, records.reading, records.finding, records.verdict
-- params: none
-- caveat: a reading that was taken out leaves its verdicts, so its identity is not given again
select
    (select coalesce(max(file_id), 0) + 1 from records.source_file) as file_id,
    (
        select greatest(
            coalesce(max(r.reading_id), 0),
            (select coalesce(max(v.reading_id), 0) from records.verdict as v)) + 1
        from records.reading as r
    ) as reading_id,
    (select coalesce(max(finding_id), 0) + 1 from records.finding) as finding_id
