-- title: The usual rise of a device over its load, in the panel that a case sits in
-- grain: one row a reading and load fraction
-- key: reading_id, load_fraction
-- reads: screening.result, normalise.measure, baseline.group_level, baseline.group_parameter,
--   baseline.make_level, baseline.make_effect, baseline.rating_level, baseline.rating_effect,
--   baseline.minute_factor, baseline.shelter_level, baseline.shelter_factor, baseline.cell
-- params: $reading_ids the cases, $most_load the end of the axis [1], $step of it [1]
-- source: r = still part + h g (1 + u + v) x^n k(t) with h by shelter, limits from the cells of the
--   load bands, straight between their middles, the own band's at the reading; the still part and
--   the panel's own variance are those the reading was judged with
-- caveat: meets the judged limits at the reading's load where the baseline is that of the verdict;
--   another reading is judged by its own band's cell, not by what is drawn between two
with own as (
    select
        s.reading_id, g.group_id, s.load_fraction as own_load, s.expected_rise_k,
        p.exponent, p.noise_k, p.noise_share * f.spread_factor as noise_share,
        h.factor * p.gain_k * f.factor
        * (1e0 + coalesce(u.gain_share, 0e0) + coalesce(v.gain_share, 0e0)) as own_gain_k,
        (s.upper_k - s.lower_k) / (c.upper - c.lower) as own_spread_k,
        c.load_band as own_band, c.center
    from screening.result as s
    inner join normalise.measure as m using (reading_id)
    inner join baseline.group_level as g on g.channel = 'face'
        and g.device_class = m.device_class and g.is_multi_pole = m.is_multi_pole
    inner join baseline.group_parameter as p using (group_id)
    inner join baseline.cell as c
        on c.group_id = g.group_id and c.load_band = load_band(s.load_fraction)
    inner join baseline.minute_factor as f on f.channel = 'face' and f.minute_band = m.minute_band
    inner join baseline.shelter_level as l
        on l.channel = 'face' and l.shelter_level = m.shelter_level
        and l.pole_family = pole_family(m.device_class, m.is_multi_pole)
    inner join baseline.shelter_factor as h using (shelter_id)
    left join baseline.make_level as k on k.channel = 'face' and k.make = m.make
        and k.device_class = m.device_class and k.is_multi_pole = m.is_multi_pole
    left join baseline.make_effect as u using (make_id)
    left join baseline.rating_level as a on a.channel = 'face' and a.rated_a = m.rated_a
        and a.device_class = m.device_class and a.is_multi_pole = m.is_multi_pole
    left join baseline.rating_effect as v using (rating_id)
    where s.reading_id in (select unnest($reading_ids::bigint[]))
),

anchored as (
    select
        *,
        own_gain_k * pow(own_load, exponent) as own_load_rise_k,
        expected_rise_k - center * own_spread_k - own_load_rise_k as still_k,
        greatest(0e0, pow(own_spread_k, 2) - pow(band_spread_k(
            noise_k, noise_share, own_load_rise_k, 0e0), 2)) as panel_variance_k2
    from own
),

laid as (
    select
        a.*, x.load_fraction, a.own_gain_k * pow(x.load_fraction, a.exponent) as load_rise_k,
        band_spread_k(a.noise_k, a.noise_share, load_rise_k, a.panel_variance_k2) as spread_k
    from anchored as a
    cross join (
        select unnest(range(0, ($most_load::double / $step::double)::integer + 1))
            * $step::double as load_fraction
    ) as x
),

nodes as (
    select
        o.reading_id, [c.center, c.lower, c.upper] as ends,
        if(c.load_band = o.own_band, o.own_load,
            [0.05e0, 0.15e0, 0.3e0, 0.5e0, 0.7e0, 0.9e0, 1.1e0][c.load_band]) as node
    from own as o
    inner join baseline.cell as c using (group_id)
),

between_nodes as (
    select
        l.reading_id, l.load_fraction, l.load_rise_k, l.still_k, l.spread_k,
        coalesce(a.ends, b.ends) as below, coalesce(b.ends, a.ends) as above,
        coalesce((l.load_fraction - a.node) / nullif(b.node - a.node, 0e0), 0e0) as way
    from laid as l
    asof left join nodes as a
        on l.reading_id = a.reading_id and l.load_fraction >= a.node
    asof left join nodes as b
        on l.reading_id = b.reading_id and l.load_fraction <= b.node
)

select
    reading_id, load_fraction, load_rise_k,
    still_k + load_rise_k + spread_k * (below[1] + way * (above[1] - below[1])) as expected_rise_k,
    still_k + load_rise_k + spread_k * (below[2] + way * (above[2] - below[2])) as lower_k,
    still_k + load_rise_k + spread_k * (below[3] + way * (above[3] - below[3])) as upper_k
from between_nodes
order by reading_id, load_fraction
