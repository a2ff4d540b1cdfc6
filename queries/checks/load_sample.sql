-- title: A repeatable sample of a load law's rows, to start from
-- grain: one row of the design
-- key: none
-- reads: load_design
-- params: $stride [1] keep one row in so many, picked by a hash of the row's own values
-- source: chosen: a start only, the fit is finished on every row
-- caveat: equal rows are kept or left together; never a sample to draw conclusions from
select rise_k, load_fraction, weight, is_usable
from load_design
where hash(rise_k, load_fraction) % $stride::ubigint = 0
