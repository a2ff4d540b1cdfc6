-- Chance of a fault [1] as findings made it: intercept + slope times its log odds, cut as the score's.
-- Source: D. R. Cox, Two further applications of a model for binary regression, Biometrika 1958.
-- With intercept 0 and slope 1 it is the stated chance itself, to the last bit; null stays null.
create or replace temp macro recalibrated(chance, intercept, slope) as
    case
        when intercept = 0e0 and slope = 1e0 then chance
        when chance is not null then 1e0 / (1e0 + exp(-(intercept + slope * (
            ln(greatest(chance, 1e-12)) - ln(greatest(1e0 - chance, 1e-12))))))
    end
