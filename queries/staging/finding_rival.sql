-- title: Current findings that share their inspection, panel, position and time found
-- grain: one row a current finding
-- key: row_id
-- reads: records.finding, crowded_visit
-- params: $file_id
-- source: chosen: the same values again are a repetition, other values of the same time found a
--     correction, of which the later wins; another time found is a second examination, and both stay
-- caveat: lines of one file are taken in their order, files in the order they came
with crowded as (
    select finding_id, file_id, line, content_hash, inspection_id, panel_id, position, found_at
    from records.finding
    semi join crowded_visit using (inspection_id, panel_id)
    where is_current
),

first_seen as (
    select *,
        row_number() over (
            partition by inspection_id, panel_id, position, found_at, content_hash order by finding_id
        ) > 1 as is_repeated
    from crowded
),

ranked as (
    select *,
        row_number() over newest as age,
        max(line) filter (where file_id = $file_id) over older as other_line,
        count(*) over older as older_count
    from first_seen
    where not is_repeated
    window
        newest as (
            partition by inspection_id, panel_id, position, found_at order by finding_id desc
        ),
        older as (
            partition by inspection_id, panel_id, position, found_at order by finding_id
            rows between unbounded preceding and 1 preceding
        )
)

select
    finding_id as row_id, file_id, is_repeated, false as is_superseded, 0 as older_count,
    null::bigint as other_line
from first_seen
where is_repeated
union all
select finding_id as row_id, file_id, false, age > 1, older_count, other_line
from ranked
where age > 1 or older_count > 0
