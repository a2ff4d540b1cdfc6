-- title: Readings that contradict themselves, by code
-- grain: one row a code
-- key: code
-- reads: screening.result, records.recheck
-- params: none
-- caveat: a reading with two codes is counted under both; one without a mark is far colder than
--   its class
select
    coalesce(k.code, 'colder_than_its_class') as code,
    min_by(coalesce(k.sentence, s.reason), s.reading_id) as sentence,
    count(distinct s.reading_id) as row_count
from screening.result as s
left join records.recheck as k using (reading_id)
where s.verdict = 'recheck'
group by 1
order by row_count desc, code
