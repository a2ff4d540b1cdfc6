-- Every temperature read on a clamped device, one channel a row, with the columns of the measures'
-- table beside it. Rows without current are left out; screening names them.
create or replace temp macro channels(measure_table) as table
select *, 'face' as channel, rise_k as channel_rise_k
from query_table(measure_table)
where load_fraction is not null
union all
select *, 'termination' as channel, termination_rise_k as channel_rise_k
from query_table(measure_table)
where load_fraction is not null and termination_rise_k is not null
union all
select *, 'conductor' as channel, conductor_rise_k as channel_rise_k
from query_table(measure_table)
where load_fraction is not null and conductor_rise_k is not null
