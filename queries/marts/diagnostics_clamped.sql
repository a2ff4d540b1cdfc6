-- title: How often devices are clamped, by how warm they are
-- grain: one row a band of four kelvins above the panel's floor, ends open
-- key: warm_band
-- reads: normalise.measure
-- params: none
-- caveat: band 0 holds the devices below the floor too, band 5 all from 20 K up
select
    least(greatest(floor((rise_k - coalesce(floor_k, 0e0)) / 4e0), 0), 5)::integer as warm_band,
    count(*) as reading_count,
    count(load_fraction) as clamped_count
from normalise.measure
where not is_recheck
group by 1
order by 1
