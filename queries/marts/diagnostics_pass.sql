-- title: The passes of the fit in force, and what each still moved
-- grain: one row a pass
-- key: number
-- reads: baseline.history
-- params: none
-- caveat: changes are in units of each parameter's scale
select
    number,
    fixed,
    slopes,
    offsets,
    spread,
    exponent,
    greatest(fixed, slopes, offsets, spread) as largest
from baseline.history
order by number
