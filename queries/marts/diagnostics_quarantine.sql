-- title: Rows that were not kept, by code
-- grain: one row a code
-- key: code
-- reads: records.quarantine
-- params: none
-- caveat: a row rejected for two reasons counts under both
select
    code,
    min_by(sentence, (file_id, line)) as sentence,
    count(distinct (file_id, sheet, line)) as row_count
from records.quarantine
group by code
order by row_count desc, code
