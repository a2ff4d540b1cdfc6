-- title: What the files of a quarter held, row by row
-- grain: one row in all
-- reads: records.source_file, records.reading
-- params: $quarter such as 2026Q3
-- caveat: a rejected row has no date that can be trusted, so a file counts whole for each quarter
--   that it holds a reading of, and a file with no reading kept counts for every quarter
with held as (
    select
        file_id,
        bool_or(year(inspected_at) || 'Q' || quarter(inspected_at) = $quarter::varchar) as is_ours
    from records.reading
    group by file_id
)

select
    count(*) as file_count,
    coalesce(sum(f.rows_read), 0)::bigint as read_count,
    coalesce(sum(f.rows_kept), 0)::bigint as kept_count,
    coalesce(sum(f.rows_repeated), 0)::bigint as repeated_count,
    coalesce(sum(f.rows_quarantined), 0)::bigint as quarantined_count,
    coalesce(sum(f.rows_superseding), 0)::bigint as superseding_count
from records.source_file as f
left join held as h using (file_id)
where contains(f.holds, 'reading') and coalesce(h.is_ours, true)
