-- title: Readings as rises and load fractions
-- grain: one row a current reading
-- key: reading_id
-- reads: records.reading, normalise.visit, normalise.mark
-- params: none
-- source: emissivity by the equation of ISO 18434-1; rise is surface minus ambient air
-- caveat: a two-pole device clamped on one leg may carry more on the other
select
    r.reading_id,
    v.visit_id,
    r.inspection_id,
    r.panel_id,
    r.position,
    r.inspected_at,
    year(r.inspected_at) || 'Q' || quarter(r.inspected_at) as quarter,
    r.office_id,
    r.inspector_id,
    coalesce(r.camera_id, 'not noted') as camera_id,
    r.device_class,
    coalesce(r.make, 'not noted') as make,
    r.poles,
    r.poles > 1 as is_multi_pole,
    r.rated_a,
    r.current_a,
    r.current_a / r.rated_a as load_fraction,
    r.load_minutes,
    minute_band(r.load_minutes) as minute_band,
    r.ambient_degc,
    true_temperature_degc(r.device_degc, r.emissivity, r.reflected_degc) - r.ambient_degc as rise_k,
    r.termination_degc - r.ambient_degc as termination_rise_k,
    r.conductor_degc - r.ambient_degc as conductor_rise_k,
    m.reading_id is not null as is_recheck,
    coalesce(m.is_odd, false) as is_odd,
    m.sentence as recheck_sentence
from records.reading as r
inner join normalise.visit as v using (inspection_id, panel_id)
left join normalise.mark as m using (reading_id)
where r.is_current
