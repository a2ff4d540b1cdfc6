-- title: Spread of the residuals by load-driven rise
-- grain: one row a group and bin of load-driven rise
-- key: group_id, rise_bin
-- reads: fitting.standing
-- params: none
-- source: median absolute residual over 0.6745 (Hampel 1974)
-- caveat: bins of an octave above 0.5 K, one bin below: few devices run at high loads
select
    group_id,
    greatest(floor(log2(greatest(abs(load_rise_k), 0.25e0) / 0.5e0)), -1)::integer as rise_bin,
    count(*) as reading_count,
    sqrt(fsum(load_rise_k * load_rise_k) / count(*)) as load_rise_k,
    median(abs(residual_k)) / 0.6745e0 as spread_k
from fitting.standing
group by all
having count(*) >= 5
order by group_id, rise_bin
