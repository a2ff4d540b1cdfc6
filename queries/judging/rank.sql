-- title: Rank of each reading among comparable ones of other panels
-- grain: one row a clamped reading
-- key: reading_id
-- reads: judging.evidence, normalise.visit
-- params: none
-- source: conformal p = (1 + hotter) / (comparable + 1); Vovk 2012. Own panel left out
-- caveat: comparable is same class, poles and load band; faulty readings rank too. Rows are kept
--   narrow, a panel goes by the number of its first visit: names would cost three times as much
with first_visit as (
    select panel_id, min(visit_id)::integer as panel_number
    from normalise.visit
    group by panel_id
),

panel as (
    select v.visit_id, f.panel_number
    from normalise.visit as v
    inner join first_visit as f using (panel_id)
),

placed as materialized (
    select
        r.reading_id,
        (8 * r.group_id + r.load_band)::smallint as cell,
        p.panel_number,
        r.z
    from judging.evidence as r
    inner join panel as p using (visit_id)
    where r.is_taught
),

counted as (
    select cell, count(*) as cell_count
    from placed
    group by cell
),

own as (
    select
        reading_id,
        cell,
        z,
        rank() over panel_cell as panel_rank,
        count(*) over (
            panel_cell rows between unbounded preceding and unbounded following) as panel_count
    from placed
    window panel_cell as (partition by panel_number, cell order by z desc)
),

ranked as (
    select *, rank() over (partition by cell order by z desc) as cell_rank
    from own
)

select
    reading_id,
    cell_count - panel_count as comparable_count,
    cell_rank - panel_rank as hotter_count,
    (1e0 + cell_rank - panel_rank) / (1e0 + cell_count - panel_count) as p_value
from ranked
inner join counted using (cell)
