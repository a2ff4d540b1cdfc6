-- title: How completely the readings of a quarter were taken
-- grain: one row in all
-- reads: screening.result, normalise.measure, records.reading
-- params: $quarter such as 2026Q3
select
    count(*) as reading_count,
    count(m.load_fraction) as clamped_count,
    count(m.load_minutes) as minutes_count,
    count(m.termination_rise_k) as termination_count,
    count(m.inspector_id) as inspector_count,
    (
        select count(*) from records.reading as r
        where r.is_current and not exists (
            select 1 from screening.result as s where s.reading_id = r.reading_id)
    ) as unscreened_count
from screening.result as t
inner join normalise.measure as m using (reading_id)
where m.quarter = $quarter::varchar
