-- title: What sits around a typed reading: devices as warm as told, or as the panel's cool end
-- grain: one row a slot beside the device
-- key: visit_id, slot
-- reads: normalise.reading, opinion.typed, opinion.cool_pool
-- params: none
-- caveat: stands in for normalise.slot; a device that was not told of adds no heat and leaves no gap
with placed as (
    select
        r.visit_id,
        t.ambient_degc,
        t.beside_degc::double[] as beside_degc,
        c.cool_sum_k,
        unnest(case when t.device_class = 'main' then [1, 2]
            else [3, 5 + 2 * greatest(t.poles, 1), 6, 8] end) as slot,
        unnest(case when t.device_class = 'main' then [1, 2] else [1, 2, 3, 3] end) as place
    from normalise.reading as r
    inner join opinion.typed as t using (reading_id)
    inner join opinion.cool_pool as c using (visit_id)
)

select
    visit_id,
    slot,
    coalesce(beside_degc[place] - ambient_degc, cool_sum_k) as rise_k
from placed
