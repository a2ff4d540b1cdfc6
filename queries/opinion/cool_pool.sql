-- title: The cool end of a typed reading's panel, as told or as usual
-- grain: one row a visit
-- key: visit_id
-- reads: normalise.reading, opinion.typed
-- params: $floor_k_default what stands for a floor that was not told [K]
-- caveat: stands in for normalise.cool_pool, which needs the whole panel
select
    r.visit_id,
    true as is_standard_only,
    1 as cool_count,
    -1e9::double as next_rise_k,
    coalesce(t.floor_degc - t.ambient_degc, $floor_k_default::double) as cool_sum_k
from normalise.reading as r
inner join opinion.typed as t using (reading_id)
