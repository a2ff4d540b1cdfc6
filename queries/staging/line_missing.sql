-- title: Lines of a slice that were not kept at once
-- grain: one row a line
-- reads: records.reading
-- params: $file_id, $first_line, $end_line the lines from the first to before the end
-- caveat: right only where each line is one record
select line
from range($first_line::bigint, $end_line::bigint) as lines(line)
anti join (
    select line
    from records.reading
    where file_id = $file_id and line >= $first_line::bigint and line < $end_line::bigint
) as kept using (line)
order by line
