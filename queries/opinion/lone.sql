-- title: The baseline laid on typed readings, with what was not read of their panels left open
-- grain: one row a reading and channel
-- key: reading_id, channel
-- reads: judging.laid, normalise.reading, opinion.typed, fitting.group_parameter, fitting.cell,
--   screening.surround
-- params: $floor_k_default what stands for a floor that was not told [K], $floor_variance_k2 of
--   floors from panel to panel [K^2]
-- source: law of total variance: neighbours that were not told bring what they usually bring, and
--   their spread and the floor's are added to the reading's own. A cell's scale corrects the fitted
--   spread alone, so that what is added is divided by it
-- caveat: takes the place of judging.laid; a floor told by an alternative is no longer open
with opened as (
    select
        l.reading_id,
        l.channel,
        case when t.floor_degc is null and l.floor_k = $floor_k_default::double
            then pow(g.floor_slope, 2) * $floor_variance_k2::double else 0e0 end as floor_variance_k2,
        1e0 - least(len(t.beside_degc::double[]), 2) / 2e0 as untold_share,
        pow(coalesce(c.scale, 1e0), 2) as scale2,
        s.*
    from judging.laid as l
    inner join normalise.reading as r using (visit_id)
    inner join opinion.typed as t on t.reading_id = r.reading_id
    inner join fitting.group_parameter as g on g.group_id = l.group_id
    left join fitting.cell as c
        on c.group_id = l.group_id and c.load_band = load_band(l.load_fraction)
    left join screening.surround as s on s.group_id = l.group_id
),

summed as (
    select
        reading_id,
        channel,
        coalesce(across_k + untold_share * (surround_k - across_k), 0e0) as open_k,
        (floor_variance_k2 + coalesce(
            across_variance_k2 + untold_share * (surround_variance_k2 - across_variance_k2), 0e0))
        / scale2 as open_variance_k2
    from opened
)

select l.* replace (
    l.still_rise_k + s.open_k as still_rise_k,
    l.panel_residual_k - s.open_k as panel_residual_k,
    l.variance_k2 + s.open_variance_k2 as variance_k2)
from judging.laid as l
inner join summed as s using (reading_id, channel)
