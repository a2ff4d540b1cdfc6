-- title: How many readings lie inside their healthy 95 % interval
-- grain: one row a class and load band, and one a class with load band 0 for all its loads
-- key: device_class, load_band
-- reads: screening.result, normalise.measure
-- params: none
-- source: Wilson 1927
-- caveat: faulty readings lie outside too, so a little less than 95 % above is no fault of the
--   interval; readings that contradict themselves are left out
with seen as (
    select
        s.device_class,
        s.rise_k < s.lower_k as is_below,
        s.rise_k > s.upper_k as is_above,
        unnest([0, load_band(s.load_fraction)]) as load_band
    from screening.result as s
    inner join normalise.measure as m using (reading_id)
    where s.lower_k is not null and s.upper_k is not null and not m.is_recheck
),

counted as (
    select
        device_class,
        load_band,
        count(*) as reading_count,
        count(*) filter (where is_below) as below_count,
        count(*) filter (where is_above) as above_count,
        count(*) filter (where not is_below and not is_above) as inside_count
    from seen
    group by device_class, load_band
)

select
    *,
    wilson_low(inside_count, reading_count) as inside_low,
    wilson_high(inside_count, reading_count) as inside_high
from counted
order by device_class, load_band
