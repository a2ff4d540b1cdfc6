-- title: Readings with a recheck mark
-- grain: one row a marked reading
-- key: reading_id
-- reads: records.recheck
-- params: none
-- caveat: the first sentence in order of code stands for all
select
    reading_id,
    min_by(sentence, code) as sentence,
    string_agg(distinct code, ',' order by code) as codes
from records.recheck
group by reading_id
