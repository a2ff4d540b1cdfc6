-- title: Readings that a later line of the same file corrects without saying so
-- grain: one row a reading
-- key: reading_id
-- reads: rival_row
-- params: $file_id
-- caveat: the later row is the one that counts, and the one that is marked
select
    row_id as reading_id,
    null::varchar as column_name,
    'conflicting_rows' as code,
    other_line::varchar as value,
    null::varchar as other
from rival_row
where file_id = $file_id and not is_repeated and not is_superseded and other_line is not null
