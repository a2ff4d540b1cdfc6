-- title: What tells at once that a file is the same
-- grain: one row
-- reads: none
-- params: $file_id, $changed_ns when the file was last changed [ns], $sample_sha256
-- caveat: none
select
    $file_id as file_id,
    $changed_ns as changed_ns,
    $sample_sha256 as sample_sha256,
    hash('loadrise') as hash_probe
