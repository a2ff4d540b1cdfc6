-- title: Readings with their panel's floor and their neighbours' heat
-- grain: one row a current reading
-- key: reading_id
-- reads: normalise.reading, normalise.cool_pool, normalise.slot
-- params: $neighbour_cap_k the most a neighbour may count for [K]
-- source: chosen; the device itself is left out of its panel's floor
-- caveat: an empty slot carries no heat away; a misread neighbour is capped; the main's neighbours
--   are slots 1 and 2
with floored as (
    select
        r.*,
        case
            when c.visit_id is null then null
            when (r.device_class = 'standard' or not c.is_standard_only)
                and not r.is_odd and r.rise_k <= c.next_rise_k
                then (c.cool_sum_k + c.next_rise_k - r.rise_k) / c.cool_count
            else c.cool_sum_k / c.cool_count
        end as floor_k,
        r.position in (1, 2) as is_top,
        case when r.position > 0 then r.position - 2 else 1 end as above_slot,
        case when r.position > 0 then r.position + 2 * greatest(r.poles, 1) else 2 end as below_slot,
        r.position + case when r.position % 2 = 1 then 1 else -1 end as across_slot
    from normalise.reading as r
    left join normalise.cool_pool as c using (visit_id)
),

surrounded as (
    select
        f.*,
        heat_over(above.rise_k, f.floor_k, $neighbour_cap_k::double) as above_k,
        heat_over(below.rise_k, f.floor_k, $neighbour_cap_k::double) as below_k,
        heat_over(beside.rise_k, f.floor_k, $neighbour_cap_k::double) as beside_k,
        heat_over(lower_beside.rise_k, f.floor_k, $neighbour_cap_k::double) as lower_beside_k
    from floored as f
    left join normalise.slot as above
        on above.visit_id = f.visit_id and above.slot = f.above_slot
    left join normalise.slot as below
        on below.visit_id = f.visit_id and below.slot = f.below_slot
    left join normalise.slot as beside
        on f.position > 0 and beside.visit_id = f.visit_id and beside.slot = f.across_slot
    left join normalise.slot as lower_beside
        on f.position > 0 and f.poles > 1 and lower_beside.visit_id = f.visit_id
        and lower_beside.slot = f.across_slot + 2
)

select
    * exclude (
        is_top, above_slot, below_slot, across_slot, above_k, below_k, beside_k, lower_beside_k),
    coalesce(case when not is_top then above_k end, 0e0) + coalesce(below_k, 0e0) as neighbour_k,
    case when is_top then coalesce(above_k, 0e0) else 0e0 end as main_k,
    coalesce(beside_k, 0e0) + coalesce(lower_beside_k, 0e0) as across_k,
    case when position <= 0 then 0
        else (above_k is null)::integer + (below_k is null)::integer
            + 3 * (beside_k is null and lower_beside_k is null)::integer
            + 6 * (is_top and above_k is not null)::integer
    end as shelter_level
from surrounded
