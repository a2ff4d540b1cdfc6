-- title: How often each reason was given for the rows of a file
-- grain: one row a code
-- key: code
-- reads: records.quarantine, records.recheck, records.reading
-- params: $file_id
-- caveat: a row counts once for each reason
select kind, code, count(*) as row_count
from (
    select 'quarantine' as kind, code from records.quarantine where file_id = $file_id
    union all
    select 'recheck', m.code
    from records.recheck as m
    semi join records.reading as r on r.reading_id = m.reading_id and r.file_id = $file_id
)
group by kind, code
order by kind, row_count desc, code
