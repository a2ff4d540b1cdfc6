-- title: What is noted of a file that was taken in
-- grain: one row
-- reads: none
-- params: $file_id, $file_name, $content_sha256, $size_bytes [byte], $holds, $ingested_at,
--     $column_map as JSON, $rows_read, $rows_kept, $rows_repeated, $rows_quarantined,
--     $rows_superseding
-- caveat: none
select
    $file_id as file_id,
    $file_name as file_name,
    $content_sha256 as content_sha256,
    $size_bytes as size_bytes,
    $holds as holds,
    $ingested_at as ingested_at,
    $column_map as column_map,
    $rows_read as rows_read,
    $rows_kept as rows_kept,
    $rows_repeated as rows_repeated,
    $rows_quarantined as rows_quarantined,
    $rows_superseding as rows_superseding
