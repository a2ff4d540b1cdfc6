-- title: Readings with their panel's floor and their neighbours' heat
-- grain: one row a current reading
-- key: reading_id
-- reads: normalise.reading, normalise.cool_pool, normalise.slot
-- params: $neighbour_cap_k the most a neighbour may count for [K]
-- source: chosen; the device itself is left out of its panel's floor
-- caveat: an empty slot carries no heat away; a neighbour may itself be faulty, hence the cap
with floored as (
    select
        r.*,
        case
            when c.visit_id is null then null
            when (r.device_class = 'standard' or not c.is_standard_only)
                and not r.is_recheck and r.rise_k <= c.next_rise_k
                then (c.cool_sum_k + c.next_rise_k - r.rise_k) / c.cool_count
            else c.cool_sum_k / c.cool_count
        end as floor_k
    from normalise.reading as r
    left join normalise.cool_pool as c using (visit_id)
)

select
    f.* exclude (floor_k),
    f.floor_k,
    least(greatest(coalesce(above.rise_k - f.floor_k, 0e0), 0e0), $neighbour_cap_k::double)
    + least(greatest(coalesce(below.rise_k - f.floor_k, 0e0), 0e0), $neighbour_cap_k::double)
        as neighbour_k,
    least(greatest(coalesce(across.rise_k - f.floor_k, 0e0), 0e0), $neighbour_cap_k::double)
        as across_k,
    case when f.position > 0
        then (above.rise_k is null)::integer + (below.rise_k is null)::integer
        else 0
    end as open_count
from floored as f
left join normalise.slot as above
    on f.position > 0 and above.visit_id = f.visit_id and above.slot = f.position - 2
left join normalise.slot as below
    on f.position > 0 and below.visit_id = f.visit_id
    and below.slot = f.position + 2 * greatest(f.poles, 1)
left join normalise.slot as across
    on f.position > 0 and across.visit_id = f.visit_id
    and across.slot = f.position + case when f.position % 2 = 1 then 1 else -1 end
