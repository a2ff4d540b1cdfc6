-- Upper end of Wilson's 95 % interval of a share, null without a total. Source: as wilson_low.
create or replace temp macro wilson_high(hits, total, z := 1.959963984540054e0) as
    case
        when total > 0 and hits = total then 1e0
        when total > 0 then (
            hits + z * z / 2e0 + z * sqrt(hits * (total - hits) / total::double + z * z / 4e0)
        ) / (total + z * z)
    end
