-- title: What usually sits around a device brings it, against cool neighbours on all sides
-- grain: one row a channel, class and pole count
-- key: group_id
-- reads: normalise.measure, fitting.group_level, fitting.group_parameter, fitting.shelter_level,
--   fitting.shelter_factor
-- params: $every of how many readings one is looked at [1]
-- source: mean and variance of what a reading that stands alone does not tell; the moments of a
--   class are pooled with those of all classes by ten readings (chosen)
-- caveat: across_k is the part that the devices above and below do not bring; heat and shelter of
--   faulty neighbours count too, as in the fit
with placed as (
    select
        *,
        pole_family(device_class, is_multi_pole) as pole_family
    from normalise.measure
    where load_fraction is not null and not is_recheck and reading_id % $every::bigint = 0
),

brought as (
    select
        l.group_id,
        l.channel,
        h.factor * g.neighbour_slope * m.neighbour_k as beside_k,
        h.factor * (g.across_slope * m.across_k + g.main_slope * m.main_k)
        + (h.factor - o.factor) * (
            g.offset_k + g.gain_k
            * case when m.load_fraction > 0 then pow(m.load_fraction, g.exponent) else 0e0 end)
            as across_k
    from placed as m
    inner join fitting.group_level as l using (device_class, is_multi_pole)
    inner join fitting.group_parameter as g using (group_id)
    inner join fitting.shelter_level as s
        on s.channel = l.channel and s.pole_family = m.pole_family
        and s.shelter_level = m.shelter_level
    inner join fitting.shelter_factor as h on h.shelter_id = s.shelter_id
    inner join fitting.shelter_level as z
        on z.channel = l.channel and z.pole_family = m.pole_family and z.shelter_level = 0
    inner join fitting.shelter_factor as o on o.shelter_id = z.shelter_id
),

summed as (
    select
        group_id,
        channel,
        count(*) as n,
        fsum(beside_k + across_k) as s_k,
        fsum(pow(beside_k + across_k, 2)) as s_k2,
        fsum(across_k) as a_k,
        fsum(pow(across_k, 2)) as a_k2
    from brought
    group by group_id, channel
),

whole as (
    select
        channel,
        10e0 / sum(n) as share,
        fsum(s_k) as s_k,
        fsum(s_k2) as s_k2,
        fsum(a_k) as a_k,
        fsum(a_k2) as a_k2
    from summed
    group by channel
),

pooled as (
    select
        l.group_id,
        coalesce(s.n, 0) as reading_count,
        (coalesce(s.s_k, 0e0) + w.share * w.s_k) / (coalesce(s.n, 0) + 10e0) as surround_k,
        (coalesce(s.s_k2, 0e0) + w.share * w.s_k2) / (coalesce(s.n, 0) + 10e0) as surround_k2,
        (coalesce(s.a_k, 0e0) + w.share * w.a_k) / (coalesce(s.n, 0) + 10e0) as across_k,
        (coalesce(s.a_k2, 0e0) + w.share * w.a_k2) / (coalesce(s.n, 0) + 10e0) as across_k2
    from fitting.group_level as l
    inner join whole as w using (channel)
    left join summed as s using (group_id)
)

select
    group_id,
    reading_count,
    surround_k,
    greatest(surround_k2 - surround_k * surround_k, 0e0) as surround_variance_k2,
    across_k,
    greatest(across_k2 - across_k * across_k, 0e0) as across_variance_k2
from pooled
