-- title: Readings whose slot another device of the panel takes too
-- grain: one row a reading
-- key: reading_id
-- reads: records.reading, visit_outline
-- params: $file_id
-- source: common practice, no published source: a two-pole device takes its slot and the one below
-- caveat: tandem breakers that share a slot are marked too
with taken as (
    select
        r.reading_id,
        r.file_id,
        inspection_id,
        panel_id,
        unnest(
            case when r.position > 0 and r.poles > 1 then [r.position, r.position + 2] else [r.position] end
        ) as slot
    from records.reading as r
    inner join visit_outline as v using (inspection_id, panel_id)
    where v.is_overlapping and r.is_current
)

select
    reading_id,
    'position' as column_name,
    'slot_taken_twice' as code,
    min(slot)::varchar as value,
    null::varchar as other
from (
    select *, count(*) over (partition by inspection_id, panel_id, slot) as taken_count from taken
)
where taken_count > 1 and file_id = $file_id
group by reading_id
