-- title: The fitted baseline laid on the rows that taught it
-- grain: one row a reading and channel
-- key: reading_id, channel
-- reads: fitting.design
-- params: none
select * from laid_baseline('fitting.design')
