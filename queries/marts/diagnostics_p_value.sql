-- title: How the chances of readings as hot are spread: by residual, and by rank
-- grain: one row a twentieth from 0 to 1, empty ones too
-- key: bin
-- reads: screening.result, normalise.measure
-- params: none
-- source: healthy readings fill every twentieth alike, 1 - normal(z) where spreads are right; ranks
--   by Vovk 2012
-- caveat: ranks among the fleet's own readings are flat as a whole by their making; readings that
--   contradict themselves are left out
with seen as (
    select
        unnest(['residual', 'rank']) as kind,
        unnest([1e0 - normal_cdf(s.standard_residual), s.p_value]) as chance
    from screening.result as s
    inner join normalise.measure as m using (reading_id)
    where s.standard_residual is not null and s.p_value is not null and not m.is_recheck
),

binned as (
    select kind, least(greatest(ceil(20e0 * chance) - 1e0, 0e0), 19e0)::integer as bin
    from seen
)

select
    b.bin,
    b.bin / 20e0 as low,
    (b.bin + 1) / 20e0 as high,
    count(*) filter (where s.kind = 'residual') as residual_count,
    count(*) filter (where s.kind = 'rank') as rank_count
from (select unnest(range(20))::integer as bin) as b
left join binned as s using (bin)
group by b.bin
order by b.bin
