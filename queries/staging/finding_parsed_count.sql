-- title: Rows of a slice of findings
-- grain: one row
-- reads: parsed_finding
-- params: none
-- caveat: blank rows count as troubled
select
    count(*) as row_count,
    count_if(is_kept) as good_count,
    count(cells) as troubled_count,
    coalesce(min(rowid), 0) as first_rowid
from parsed_finding
