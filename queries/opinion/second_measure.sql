-- title: The alternatives, beside the other devices of their visit
-- grain: one row a reading
-- key: reading_id
-- reads: opinion.alternative, normalise.measure, opinion.wanted
-- params: none
select * from opinion.alternative
union all by name
select * from normalise.measure
where reading_id >= 0 and reading_id not in (select reading_id from opinion.wanted)
