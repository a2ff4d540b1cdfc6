-- title: Residual sums of each band of minutes under load
-- grain: one row a channel and band
-- key: channel, minute_band
-- reads: fitting.predicted
-- params: none
select
    channel,
    minute_band,
    count(*) as reading_count,
    fsum(weight * load_rise_k * load_rise_k) as w_ll,
    fsum(weight * load_rise_k * residual_k) as w_le
from fitting.predicted
group by channel, minute_band
order by channel, minute_band
