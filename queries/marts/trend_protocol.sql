-- title: How completely each inspector took the readings of each quarter
-- grain: one row an inspector and quarter
-- key: inspector, quarter_index
-- reads: normalise.measure, screening.result, records.reading
-- params: $warm_k rise above the panel's floor from which a device is to be clamped [K],
--   $settled_minutes under load from which a reading is settled [min]
-- caveat: an ambient that is the same in most visits was hardly read; one office's thermostat may be
--   the same on some days
with visits as (
    select
        coalesce(m.inspector_id, 'not noted') as inspector,
        4 * year(m.inspected_at) + quarter(m.inspected_at) - 1 as quarter_index,
        m.inspection_id,
        round(any_value(m.ambient_degc), 2) as ambient_degc,
        bool_or(m.load_minutes is not null) as is_minuted,
        bool_or(m.load_minutes < $settled_minutes::double) as is_unsettled,
        bool_or(r.emissivity is not null) as is_emissive,
        count(*) filter (where m.rise_k - m.floor_k >= $warm_k::double) as warm_count,
        count(m.load_fraction) filter (where m.rise_k - m.floor_k >= $warm_k::double)
            as warm_clamped_count,
        count(*) as reading_count
    from normalise.measure as m
    inner join screening.result as s using (reading_id)
    inner join records.reading as r using (reading_id)
    where s.verdict <> 'recheck'
    group by all
),

usual as (
    select inspector, quarter_index, mode(ambient_degc order by ambient_degc) as usual_degc
    from visits
    group by all
)

select
    v.inspector,
    v.quarter_index,
    count(*)::integer as inspection_count,
    sum(v.reading_count)::integer as reading_count,
    count(*) filter (where v.ambient_degc = u.usual_degc)::integer as same_ambient_count,
    any_value(u.usual_degc) as usual_degc,
    count(*) filter (where v.is_minuted)::integer as minuted_count,
    count(*) filter (where v.is_unsettled)::integer as unsettled_count,
    count(*) filter (where v.is_emissive)::integer as emissive_count,
    sum(v.warm_count)::integer as warm_count,
    sum(v.warm_clamped_count)::integer as warm_clamped_count
from visits as v
inner join usual as u using (inspector, quarter_index)
group by v.inspector, v.quarter_index
order by v.quarter_index, v.inspector
