-- title: Content hashes of the kept findings, worked out anew
-- grain: one row a finding
-- key: row_id
-- reads: records.finding
-- params: none
-- caveat: none
select
    finding_id as row_id,
    hash(inspection_id, panel_id, position, found_at, finding, examined_by_licensed, note) as content_hash
from records.finding
