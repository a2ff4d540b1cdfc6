-- title: What was found of each reading
-- grain: one row a reading with a finding that counts
-- key: reading_id
-- reads: tuning.match
-- params: none
-- source: chosen: a fault that was found stands over nothing found (`finding_rank`), else the latest
--   visit; standing_finding holds the same for the quarter's pages
-- caveat: contradictions are listed in tuning.contradiction
select reading_id, finding_id, finding, is_fault, found_at
from tuning.match
where reading_id is not null and set_aside is null
qualify row_number() over (
    partition by reading_id
    order by finding_rank(finding) desc, found_at desc, finding_id desc) = 1
