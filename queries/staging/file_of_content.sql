-- title: Earlier readings of the same content
-- grain: one row a file
-- key: file_id
-- reads: records.source_file
-- params: $content_sha256 hash of the file
-- caveat: none
select file_id
from records.source_file
where content_sha256 = $content_sha256::varchar
order by file_id
