-- title: Readings of a quarter that contradict themselves, by code
-- grain: one row a code
-- key: code
-- reads: screening.result, normalise.measure, records.recheck
-- params: $quarter such as 2026Q3
-- caveat: a reading with two codes is counted under both
select
    coalesce(k.code, 'colder_than_its_class') as code,
    min_by(coalesce(k.sentence, s.reason), s.reading_id) as sentence,
    count(distinct s.reading_id) as reading_count
from screening.result as s
inner join normalise.measure as m using (reading_id)
left join records.recheck as k using (reading_id)
where m.quarter = $quarter::varchar and s.verdict = 'recheck'
group by 1
order by reading_count desc, code
