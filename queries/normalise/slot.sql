-- title: What sits in each slot
-- grain: one row an occupied slot of a visit
-- key: visit_id, slot
-- reads: normalise.reading
-- params: none
-- source: common practice, no published source: odd left, even right, a two-pole takes n and n + 2
-- caveat: two readings of one slot are averaged; the main stands above both columns, at -1 and 0
with taken as (
    select
        visit_id,
        rise_k,
        unnest(case when position > 0
            then range(position, position + 2 * greatest(poles, 1), 2)
            else [-1, 0] end) as slot
    from normalise.reading
    where position >= 0 and not is_odd
)

select visit_id, slot, fsum(rise_k) / count(rise_k) as rise_k
from taken
group by visit_id, slot
