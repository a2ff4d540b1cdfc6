-- title: The baseline in force laid on every clamped reading
-- grain: one row a reading and channel
-- key: reading_id, channel
-- reads: judging.design
-- params: none
select * from laid_baseline('judging.design')
where group_id is not null
