-- title: Findings set aside, with their reason and the guess to confirm
-- grain: one row a finding that does not count
-- key: finding_id
-- reads: tuning.match, normalise.reading, records.source_file
-- params: none
-- caveat: one set aside today counts as soon as its reading comes in
select
    m.finding_id,
    s.file_name,
    m.inspection_id,
    m.panel_id,
    m.position,
    m.found_at,
    m.finding,
    m.set_aside as code,
    m.matched_by,
    r.inspection_id as guessed_inspection_id,
    r.position as guessed_position,
    m.day_count
from tuning.match as m
inner join records.source_file as s using (file_id)
left join normalise.reading as r on r.reading_id = m.guessed_reading_id
where m.set_aside is not null
order by m.inspection_id, m.panel_id, m.position, m.finding_id
