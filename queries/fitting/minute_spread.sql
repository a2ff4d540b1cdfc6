-- title: Spread of the residuals by minutes under load, against the spread expected
-- grain: one row a channel and band
-- key: channel, minute_band
-- reads: fitting.standing
-- params: none
-- caveat: only rows whose load-driven rise is above 4 K, where the minutes show
select
    channel,
    minute_band,
    count(*) as reading_count,
    median(abs(residual_k) / sqrt(variance_k2)) / 0.6745e0 as ratio
from fitting.standing
where load_rise_k > 4e0
group by channel, minute_band
order by channel, minute_band
