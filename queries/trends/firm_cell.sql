-- title: What was found in the whole firm by kind of case and quarter
-- grain: one row a measure, stratum and quarter
-- key: measure, stratum, quarter_index
-- reads: trends.cell
-- params: none
select measure, stratum, quarter_index, judged_count, hit_count
from trends.cell
where subject = 'firm'
order by measure, stratum, quarter_index
