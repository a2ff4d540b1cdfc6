-- title: What was found in each class and office by quarter and kind of case
-- grain: one row a subject, level, measure, kind and quarter
-- key: subject, level, measure, kind, quarter_index
-- reads: trends.cell
-- params: none
-- source: the counts that a change of the firm's share is made of
select subject, level, measure, kind, quarter_index, judged_count, hit_count
from trends.cell
where subject in ('class', 'office')
order by subject, level, measure, kind, quarter_index
