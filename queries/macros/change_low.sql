-- Lower end of the 95 % interval of the difference of two shares, one minus other, null where one
-- has no total. Source: Newcombe, Interval estimation for the difference between independent
-- proportions, Statistics in Medicine 1998, method 10 (from two Wilson intervals).
create or replace temp macro change_low(hits_one, total_one, hits_other, total_other) as
    case when total_one > 0 and total_other > 0 then
        hits_one / total_one - hits_other / total_other - hypot(
            hits_one / total_one - wilson_low(hits_one, total_one),
            wilson_high(hits_other, total_other) - hits_other / total_other)
    end
