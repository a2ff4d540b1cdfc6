-- title: Rows of a slice that are blank, or not kept
-- grain: one row
-- reads: row_fault
-- params: none
-- caveat: none
select
    count(distinct row_id) filter (where code = 'blank_row') as blank_count,
    count(distinct row_id) filter (where not is_kept and code <> 'blank_row') as quarantined_count
from row_fault
