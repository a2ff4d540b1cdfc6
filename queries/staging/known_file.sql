-- title: Files of one size that were read in before
-- grain: one row a file
-- reads: records.source_file, records.file_print
-- params: $size_bytes size of the file [byte]
-- caveat: none
select f.file_name, f.content_sha256, p.changed_ns, p.sample_sha256
from records.source_file as f
left join records.file_print as p using (file_id)
where f.size_bytes = $size_bytes::bigint
order by f.file_id
