-- title: How often face and termination lean the same way
-- grain: one row
-- key: none
-- reads: fitting.residual, fitting.cell
-- params: none
-- source: quadrant correlation, sin(pi (share - 1/2)); Blomqvist 1950
with centred as (
    select
        r.reading_id,
        r.channel,
        (r.standard_residual - c.center) / c.scale as z
    from fitting.residual as r
    inner join fitting.cell as c using (group_id, load_band)
)

select
    count(*) as pair_count,
    coalesce(avg((sign(f.z) = sign(t.z))::integer), 0.5e0) as share_same
from centred as f
inner join centred as t on t.reading_id = f.reading_id and t.channel = 'termination'
where f.channel = 'face' and abs(f.z) < 4 and abs(t.z) < 4
