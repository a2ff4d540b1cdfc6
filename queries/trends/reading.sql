-- title: Every judged reading with who took it, its like for like group and what it runs too warm
-- grain: one row a current reading
-- key: reading_id
-- reads: screening.result, normalise.measure, baseline.camera_level, baseline.camera_effect,
--   baseline.group_level, baseline.group_parameter, baseline.make_level, baseline.make_effect,
--   baseline.rating_level, baseline.rating_effect
-- params: none
-- source: shift_k puts back what the fit took for the camera's and the visit's share; the rest of an
--   offset of camera or thermometer went into the panel's floor, which moved along; make_ratio puts
--   back the make's share
-- caveat: bands of air chosen: frost to 10 °C, cool to 18, room to 24, hot above; where the baseline
--   was fitted anew since the screening, the shares put back are those of the newer one
select
    m.reading_id, m.visit_id, m.inspection_id, m.panel_id, m.position, m.inspected_at,
    4 * year(m.inspected_at) + quarter(m.inspected_at) - 1 as quarter_index,
    coalesce(m.office_id, 'not noted') as office,
    coalesce(m.inspector_id, 'not noted') as inspector,
    m.camera_id as camera,
    m.make,
    m.device_class,
    load_band(s.load_fraction) as load_band,
    case when m.ambient_degc < 10 then 1 when m.ambient_degc < 18 then 2
        when m.ambient_degc < 24 then 3 else 4 end as ambient_band,
    s.verdict not in ('cannot_judge', 'recheck') as is_judged,
    s.verdict in ('suspect_connection', 'overload_and_connection') as is_flagged,
    s.verdict in ('overload', 'overload_and_connection') as is_over,
    s.verdict = 'recheck' as is_recheck,
    s.load_fraction,
    m.current_a,
    m.load_minutes,
    s.rise_k,
    s.standard_residual,
    s.rise_k - s.expected_rise_k as residual_k,
    s.rise_k - s.expected_rise_k + s.panel_shift_k + coalesce(c.offset_k, 0e0) as shift_k,
    m.floor_k,
    p.floor_slope,
    case when s.load_fraction >= 0.2e0 then s.heat_ratio
        * (1e0 + coalesce(u.gain_share, 0e0) + coalesce(v.gain_share, 0e0))
        / (1e0 + coalesce(v.gain_share, 0e0)) end as make_ratio,
    1e0 / (0.02e0 + pow((s.heat_ratio_high - s.heat_ratio_low) / 3.92e0, 2)) as ratio_weight
from screening.result as s
inner join normalise.measure as m using (reading_id)
left join baseline.camera_level as l using (camera_id, quarter)
left join baseline.camera_effect as c using (camera_level_id)
left join baseline.group_level as g
    on g.channel = 'face' and g.device_class = m.device_class
    and g.is_multi_pole = m.is_multi_pole
left join baseline.group_parameter as p using (group_id)
left join baseline.make_level as k
    on k.channel = 'face' and k.device_class = m.device_class
    and k.is_multi_pole = m.is_multi_pole and k.make = m.make
left join baseline.make_effect as u using (make_id)
left join baseline.rating_level as a
    on a.channel = 'face' and a.device_class = m.device_class
    and a.is_multi_pole = m.is_multi_pole and a.rated_a = m.rated_a
left join baseline.rating_effect as v using (rating_id)
