-- title: A file's counts
-- grain: one row
-- reads: records.reading, records.finding, records.recheck
-- params: $file_id
-- caveat: none
select
    (select count(*) from records.reading where file_id = $file_id)
    + (select count(*) from records.finding where file_id = $file_id) as kept_count,
    (
        select count(distinct reading_id)
        from records.recheck
        semi join records.reading as r on r.reading_id = recheck.reading_id and r.file_id = $file_id
    ) as marked_count
