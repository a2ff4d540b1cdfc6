-- title: What the files of a quarter held, row by row
-- grain: one row in all
-- reads: records.source_file, records.reading, screening.result, normalise.measure
-- params: $quarter such as 2026Q3
-- caveat: a rejected row has no date that can be trusted, so a file counts whole for each quarter
--   that it holds a reading of, and a file with no reading kept counts for every quarter; kept =
--   own + replaced by a correction + in no quarter + in another one
with known as (
    select distinct m.quarter
    from normalise.measure as m
    inner join screening.result as s using (reading_id)
    where s.verdict <> 'recheck'
),

dated as (
    select
        file_id,
        is_current,
        year(inspected_at) || 'Q' || quarter(inspected_at) as quarter
    from records.reading
),

held as (
    select
        d.file_id,
        bool_or(d.quarter = $quarter::varchar) as is_ours,
        count(*) filter (where d.is_current and d.quarter = $quarter::varchar) as own_count,
        count(*) filter (where not d.is_current) as replaced_count,
        count(*) filter (where d.is_current and d.quarter <> $quarter::varchar
            and k.quarter is null) as astray_count,
        count(*) filter (where d.is_current and d.quarter <> $quarter::varchar
            and k.quarter is not null) as elsewhere_count
    from dated as d
    left join known as k using (quarter)
    group by d.file_id
)

select
    count(*) as file_count,
    coalesce(sum(f.rows_read), 0)::bigint as read_count,
    coalesce(sum(f.rows_kept), 0)::bigint as kept_count,
    coalesce(sum(f.rows_repeated), 0)::bigint as repeated_count,
    coalesce(sum(f.rows_quarantined), 0)::bigint as quarantined_count,
    coalesce(sum(f.rows_superseding), 0)::bigint as superseding_count,
    coalesce(sum(h.own_count), 0)::bigint as own_count,
    coalesce(sum(h.replaced_count), 0)::bigint as replaced_count,
    coalesce(sum(h.astray_count), 0)::bigint as astray_count,
    coalesce(sum(h.elsewhere_count), 0)::bigint as elsewhere_count
from records.source_file as f
left join held as h using (file_id)
where contains(f.holds, 'reading') and coalesce(h.is_ours, true)
