-- Lower end of Wilson's 95 % interval of a share, null without a total. Source: Wilson, Probable
-- inference, the law of succession, and statistical inference, JASA 1927.
create or replace temp macro wilson_low(hits, total, z := 1.959963984540054e0) as
    case
        when total > 0 and hits = 0 then 0e0
        when total > 0 then (
            hits + z * z / 2e0 - z * sqrt(hits * (total - hits) / total::double + z * z / 4e0)
        ) / (total + z * z)
    end
