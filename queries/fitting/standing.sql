-- title: The baseline as it stands, laid on the rows being fitted
-- grain: one row a reading and channel
-- key: reading_id, channel
-- reads: fitting.row, fitting.visit_effect
-- params: none
-- caveat: a view while the fit runs: it follows the parameters
select * from predicted_rows('fitting.row', 'fitting.visit_effect')
