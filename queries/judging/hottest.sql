-- title: Readings that teach, hottest first within their pole family, with their chance of being healthy
-- grain: one row a clamped reading that teaches
-- key: reading_id
-- reads: judging.evidence, fitting.group_level
-- params: none
-- source: chances are counted in whole 2^-50 (chosen), so that their sums are exact in any order
-- caveat: judging.discovery relies on the order of the rows: a sort and one pass over it cost a third
--   of a window
with shared as (
    select
        e.reading_id,
        e.quarter,
        e.z,
        healthy_chance(g.is_multi_pole, e.odds, e.material_odds) as healthy,
        2 * case pole_family(g.device_class, g.is_multi_pole)
            when 'one_pole' then 0 when 'two_pole' then 1 else 2 end
        + (e.load_band > 2)::integer as family
    from judging.evidence as e
    inner join fitting.group_level as g using (group_id)
    where e.is_taught
)

select reading_id, quarter, family, z, round(healthy * pow(2e0, 50))::bigint as healthy_parts
from shared
order by family, z desc, reading_id
