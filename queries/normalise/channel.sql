-- title: Every temperature read on a clamped device, one channel a row
-- grain: one row a reading and channel
-- key: reading_id, channel
-- reads: normalise.measure
-- params: none
-- caveat: rows without current are left out; screening names them
with clamped as (
    select * from normalise.measure
    where load_fraction is not null
)

select reading_id, 'face' as channel, rise_k as channel_rise_k from clamped
union all
select reading_id, 'termination', termination_rise_k from clamped
where termination_rise_k is not null
union all
select reading_id, 'conductor', conductor_rise_k from clamped
where conductor_rise_k is not null
