-- title: Rows of a quarter's files that were not kept, by reason
-- grain: one row a code
-- key: code
-- reads: records.quarantine, records.source_file, records.reading
-- params: $quarter such as 2026Q3
-- caveat: files count as in quarter_file; a row rejected for two reasons counts under both
with held as (
    select
        file_id,
        bool_or(year(inspected_at) || 'Q' || quarter(inspected_at) = $quarter::varchar) as is_ours
    from records.reading
    group by file_id
)

select
    q.code,
    min_by(q.sentence, (q.file_id, q.line)) as sentence,
    count(distinct (q.file_id, q.sheet, q.line)) as row_count,
    count(distinct q.file_id) as file_count
from records.quarantine as q
inner join records.source_file as f using (file_id)
left join held as h using (file_id)
where contains(f.holds, 'reading') and coalesce(h.is_ours, true)
group by q.code
order by row_count desc, q.code
