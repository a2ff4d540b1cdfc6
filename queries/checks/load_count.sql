-- title: Rows that a load law is fitted to, and how many of them are usable
-- grain: one row
-- key: none
-- reads: load_design
-- params: none
select count(*) as row_count, count(*) filter (where is_usable) as used_count
from load_design
