-- title: The verdicts of the screening before, to compare with
-- grain: one row a reading judged then
-- key: reading_id
-- reads: screening.result
-- params: $is_recorded whether the history holds them
-- caveat: there only while a screening runs
select reading_id, verdict, reason, next_step, probability
from screening.result
where $is_recorded::boolean
