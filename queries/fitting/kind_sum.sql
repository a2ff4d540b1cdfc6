-- title: Residual sums of each kind of device
-- grain: one row a kind that has readings
-- key: kind_id
-- reads: fitting.standing, fitting.kind
-- params: none
-- source: l load-driven rise, b rise without shelter, e residual [K]; w weight [1/K^2]
with summed as (
    select
        kind_id,
        min(shelter) as shelter,
        count(*) as reading_count,
        fsum(weight) as w,
        fsum(weight * residual_k) as w_e,
        fsum(weight * load_rise_k) as w_l,
        fsum(weight * load_rise_k * load_rise_k) as w_ll,
        fsum(weight * load_rise_k * residual_k) as w_le,
        fsum(weight * bare_rise_k * bare_rise_k) as w_bb,
        fsum(weight * bare_rise_k * residual_k) as w_be
    from fitting.standing
    group by kind_id
)

select
    k.channel,
    k.make_id,
    k.rating_id,
    k.shelter_id,
    k.minute_band,
    s.*
from summed as s
inner join fitting.kind as k using (kind_id)
order by kind_id
