-- title: Rank of each reading among comparable ones of other panels
-- grain: one row a clamped reading
-- key: reading_id
-- reads: judging.residual, normalise.reading
-- params: none
-- source: conformal p = (1 + hotter) / (comparable + 1); Vovk 2012. Own panel left out
-- caveat: comparable is same class, poles and load band; faulty readings rank too
with ranked as (
    select
        r.reading_id,
        count(*) over (partition by r.group_id, r.load_band) as cell_count,
        count(*) over (partition by r.group_id, r.load_band, m.panel_id) as panel_count,
        rank() over (partition by r.group_id, r.load_band order by r.z desc) as cell_rank,
        rank() over (partition by r.group_id, r.load_band, m.panel_id order by r.z desc)
            as panel_rank
    from judging.residual as r
    inner join normalise.reading as m using (reading_id)
    where r.channel = 'face' and r.is_taught
)

select
    reading_id,
    cell_count - panel_count as comparable_count,
    cell_rank - panel_rank as hotter_count,
    (1e0 + cell_rank - panel_rank) / (1e0 + cell_count - panel_count) as p_value
from ranked
