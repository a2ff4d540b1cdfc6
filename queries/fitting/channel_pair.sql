-- title: Readings whose face or termination stands out, both in healthy spreads
-- grain: one row a reading
-- key: reading_id
-- reads: fitting.residual, fitting.cell, fitting.group_level
-- params: $least_z from which a residual stands out [1], $most_rows the most rows wanted
-- caveat: a lot drawn by hash where there are more; devices of one pole only
with centred as (
    select
        r.reading_id,
        r.channel,
        (r.standard_residual - c.center) / c.scale as z,
        r.spread_k * c.scale as spread_k,
        r.load_rise_k
    from fitting.residual as r
    inner join fitting.cell as c using (group_id, load_band)
    inner join fitting.group_level as g using (group_id)
    where not g.is_multi_pole
)

select
    f.reading_id,
    f.z as face_z,
    t.z as terminal_z,
    f.load_rise_k / f.spread_k as face_size,
    f.load_rise_k / t.spread_k as terminal_size
from centred as f
inner join centred as t on t.reading_id = f.reading_id and t.channel = 'termination'
where f.channel = 'face' and greatest(f.z, t.z) > $least_z::double
order by hash(f.reading_id), f.reading_id
limit $most_rows::bigint
