-- title: Rows of a slice of readings
-- grain: one row
-- reads: parsed_reading
-- params: none
-- caveat: blank rows count as troubled
select
    count(*) as row_count,
    count_if(is_kept) as good_count,
    count(cells) as troubled_count,
    coalesce(min(rowid), 0) as first_rowid
from parsed_reading
