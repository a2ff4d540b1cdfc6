-- title: Rank of a single reading among the comparable ones of the last screening
-- grain: one row a clamped reading
-- key: reading_id
-- reads: judging.residual, screening.rank_point, opinion.screened
-- params: none
-- source: as judging.rank; a reading of the last screening keeps the rank it got there
-- caveat: exact for the hottest 250 of a class and load band, within 1 % of the rank further down
with counted as (
    select
        r.reading_id,
        coalesce(max(p.cell_count), 0) as comparable_count,
        coalesce(max(case when p.z > r.z then p.at_least_count end), 0) as hotter_count
    from judging.residual as r
    left join screening.rank_point as p
        on p.group_id = r.group_id and p.load_band = r.load_band
    where r.channel = 'face' and r.is_taught
    group by r.reading_id
)

select
    c.reading_id,
    coalesce(s.comparable_count, c.comparable_count) as comparable_count,
    coalesce(s.hotter_count, c.hotter_count) as hotter_count,
    coalesce(s.p_value, (1e0 + c.hotter_count) / (1e0 + c.comparable_count)) as p_value
from counted as c
left join opinion.screened as s using (reading_id)
