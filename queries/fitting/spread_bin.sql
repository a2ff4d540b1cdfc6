-- title: Spread of the residuals by load-driven rise
-- grain: one row a group and bin of load-driven rise
-- key: group_id, rise_bin
-- reads: fitting.standing, fitting.minute_factor
-- params: none
-- source: median absolute residual over 0.6745 (Hampel 1974); its square is too large by about
--   1 + 1.8 / n of n rows (by simulation)
-- caveat: bins of an octave above 0.5 K, one bin below: few devices run at high loads; a rise counts
--   as many times as its minutes spread it
with stretched as (
    select
        s.group_id,
        s.residual_k,
        abs(s.load_rise_k) * f.spread_factor as load_rise_k
    from fitting.standing as s
    inner join fitting.minute_factor as f using (channel, minute_band)
)

select
    group_id,
    greatest(floor(log2(greatest(load_rise_k, 0.25e0) / 0.5e0)), -1)::integer as rise_bin,
    count(*) as reading_count,
    sqrt(fsum(load_rise_k * load_rise_k) / count(*)) as load_rise_k,
    median(abs(residual_k)) / 0.6745e0 / sqrt(1e0 + 1.8e0 / count(*)) as spread_k
from stretched
group by all
having count(*) >= 5
order by group_id, rise_bin
