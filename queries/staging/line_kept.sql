-- title: How many lines of a slice were kept at once, and the last of them
-- grain: one row
-- reads: records.reading
-- params: $file_id, $first_line, $end_line the lines from the first to before the end
-- caveat: none
select count(*) as line_count, coalesce(max(line), 0) as last_line
from records.reading
where file_id = $file_id and line >= $first_line::bigint and line < $end_line::bigint
