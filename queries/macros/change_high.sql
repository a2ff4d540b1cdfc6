-- Upper end of the 95 % interval of the difference of two shares. Source: as change_low.
create or replace temp macro change_high(hits_one, total_one, hits_other, total_other) as
    case when total_one > 0 and total_other > 0 then
        hits_one / total_one - hits_other / total_other + hypot(
            wilson_high(hits_one, total_one) - hits_one / total_one,
            hits_other / total_other - wilson_low(hits_other, total_other))
    end
