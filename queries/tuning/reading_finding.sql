-- title: What was found of each reading
-- grain: one row a reading with a finding that counts
-- key: reading_id
-- reads: tuning.match
-- params: none
-- source: chosen: of several findings the latest visit counts
-- caveat: contradictions are listed in tuning.contradiction
select
    reading_id,
    max_by(finding_id, (coalesce(found_at, '-infinity'), finding_id)) as finding_id,
    max_by(finding, (coalesce(found_at, '-infinity'), finding_id)) as finding,
    max_by(is_fault, (coalesce(found_at, '-infinity'), finding_id)) as is_fault,
    max(found_at) as found_at
from tuning.match
where reading_id is not null and set_aside is null
group by reading_id
