-- title: The rows of a fit that has settled, before what it leaves open widens their variance
-- grain: one row a reading and channel
-- key: reading_id, channel
-- reads: fitting.standing
-- params: none
select * from fitting.standing
