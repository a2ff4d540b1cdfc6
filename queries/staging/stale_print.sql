-- title: Files whose content hashes another version of the database made
-- grain: one row
-- reads: records.file_print
-- params: none
-- caveat: none
select count(*) as stale_count from records.file_print where hash_probe <> hash('loadrise')
