-- title: Rows of a file that repeat or correct earlier ones
-- grain: one row
-- reads: rival_row
-- params: $file_id
-- caveat: a row that is itself corrected by a later line counts as correcting too
select
    count_if(is_repeated) as repeated_count,
    count_if(not is_repeated and older_count > 0 and file_id = $file_id) as superseding_count
from rival_row
