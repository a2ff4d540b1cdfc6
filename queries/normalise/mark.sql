-- title: Readings with a recheck mark
-- grain: one row a marked reading
-- key: reading_id
-- reads: records.recheck
-- params: none
-- caveat: the first sentence in order of code stands for all; a mark that is the whole panel's (its
--   air was misread) leaves a reading's place among its neighbours true
select
    reading_id,
    min_by(sentence, code) as sentence,
    string_agg(distinct code, ',' order by code) as codes,
    bool_or(code not in ('panel_all_too_warm', 'panel_below_ambient', 'cold_indoors')) as is_odd
from records.recheck
group by reading_id
