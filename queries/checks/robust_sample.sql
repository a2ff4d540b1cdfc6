-- title: A repeatable sample of a robust regression's rows, to start from
-- grain: one row of the design
-- key: none
-- reads: robust_design
-- params: $stride [1] keep one row in so many, picked by a hash of the row's own values
-- source: chosen: a start only, the fit is finished on every row
-- caveat: equal rows are kept or left together; never a sample to draw conclusions from
select y, w, x1, x2, x3, x4, is_usable
from robust_design
where hash(y, w, x1, x2, x3, x4) % $stride::ubigint = 0
