-- Odds of a fault against a healthy reading [1], summed over a grid of excess heat ratios:
-- weight of each ratio times the ratio of two t densities, one shifted by ratio * load_size.
-- z residual in healthy spreads [1], load_size load-driven rise in healthy spreads [1],
-- freedom degrees of freedom of the t, temper the power to which a likelihood ratio counts [1]
-- (a model of the healthy spread is never exact: Grunwald 2012, from memory); ratios, weights lists of equal length [1].
create or replace temp macro fault_odds(z, load_size, freedom, temper, ratios, weights) as
    list_sum(list_transform(
        list_zip(ratios, weights),
        lambda p: p[2] * pow(
            (1e0 + z * z / freedom) / (1e0 + pow(z - p[1] * load_size, 2) / freedom),
            temper * (freedom + 1e0) / 2e0
        )
    ))
