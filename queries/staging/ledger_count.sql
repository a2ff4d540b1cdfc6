-- title: How many rows the kept tables hold
-- grain: one row a table
-- key: table_name
-- reads: records.reading, records.finding, records.quarantine, records.recheck, records.source_file
-- params: none
-- caveat: none
select 'reading' as table_name, count(*) as row_count from records.reading
union all
select 'finding', count(*) from records.finding
union all
select 'quarantine', count(*) from records.quarantine
union all
select 'recheck', count(*) from records.recheck
union all
select 'source_file', count(*) from records.source_file
