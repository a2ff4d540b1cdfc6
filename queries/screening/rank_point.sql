-- title: What a single reading is ranked against: residuals of each class and load band, hottest first
-- grain: one row a group, load band and residual
-- key: group_id, load_band, z
-- reads: judging.evidence
-- params: none
-- source: as judging.rank; hotter than a residual ran as many as the nearest point above it counts
-- caveat: every residual of the hottest 250; further down points lie 1 % of the rank apart (chosen)
with counted as (
    select group_id, load_band, count(*) as cell_count
    from judging.evidence
    where is_taught
    group by group_id, load_band
),

ranked as (
    select
        group_id,
        load_band,
        z,
        row_number() over hottest as place,
        count(*) over hottest as at_least_count
    from judging.evidence
    where is_taught
    window hottest as (partition by group_id, load_band order by z desc)
)

select distinct group_id, load_band, z, at_least_count, cell_count
from ranked
inner join counted using (group_id, load_band)
where place <= 250 or place = cell_count
    or floor(100e0 * ln(place)) > floor(100e0 * ln(greatest(place - 1, 1)))
