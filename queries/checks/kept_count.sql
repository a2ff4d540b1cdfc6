-- title: Rows of each table that is kept for good, now
-- grain: one row a kept table
-- key: table_name
-- reads: records.source_file, records.reading, records.quarantine, records.recheck,
--   records.finding, records.baseline_version, records.policy, records.screening, records.verdict
-- params: none
select 'source_file' as table_name, count(*) as row_count from records.source_file
union all by name
select 'reading' as table_name, count(*) as row_count from records.reading
union all by name
select 'quarantine' as table_name, count(*) as row_count from records.quarantine
union all by name
select 'recheck' as table_name, count(*) as row_count from records.recheck
union all by name
select 'finding' as table_name, count(*) as row_count from records.finding
union all by name
select 'baseline_version' as table_name, count(*) as row_count from records.baseline_version
union all by name
select 'policy' as table_name, count(*) as row_count from records.policy
union all by name
select 'screening' as table_name, count(*) as row_count from records.screening
union all by name
select 'verdict' as table_name, count(*) as row_count from records.verdict
