-- title: Rows a robust regression was handed, usable or not
-- grain: one row
-- key: none
-- reads: robust_design
-- params: none
-- source: none
-- caveat: counts rows with missing values too
select count(*) as row_count
from robust_design
