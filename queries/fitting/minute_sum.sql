-- title: Residual sums of each band of minutes under load
-- grain: one row a channel and band
-- key: channel, minute_band
-- reads: fitting.kind_sum
-- params: none
select
    channel,
    minute_band,
    sum(reading_count) as reading_count,
    fsum(w_ll) as w_ll,
    fsum(w_le) as w_le
from fitting.kind_sum
group by channel, minute_band
order by channel, minute_band
