-- title: What a single reading is ranked against: residuals of each class and load band, hottest first
-- grain: one row a group, load band and residual
-- key: group_id, load_band, z
-- reads: judging.residual
-- params: none
-- source: as judging.rank; hotter than a residual ran as many as the nearest point above it counts
-- caveat: every residual of the hottest 250; further down points lie 1 % of the rank apart (chosen)
with ranked as (
    select
        group_id,
        load_band,
        z,
        row_number() over (partition by group_id, load_band order by z desc) as place,
        count(*) over (partition by group_id, load_band order by z desc) as at_least_count,
        count(*) over (partition by group_id, load_band) as cell_count
    from judging.residual
    where channel = 'face' and is_taught
)

select distinct group_id, load_band, z, at_least_count, cell_count
from ranked
where place <= 250 or place = cell_count
    or floor(100e0 * ln(place)) > floor(100e0 * ln(greatest(place - 1, 1)))
