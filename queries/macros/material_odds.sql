-- Odds of a fault that lifts least_lift_k [K] or more: the likelihoods of a grid of excess heat
-- ratios, weighed, cut softly over one step of the grid. The grid has 27 ratios, each a `step` times
-- the one before; first_step tells how many steps the first one's lift lies above least_lift_k, plus
-- a half: ratio j counts by first_step + j - 1, at least 0 and at most 1. Those from 2 - first_step
-- on count whole, the one before them in part.
create or replace temp macro material_odds(likelihoods, weights, first_step) as
    list_inner_product(
        weights[least(greatest(ceil(2e0 - first_step), 1e0), 28e0)::integer:],
        likelihoods[least(greatest(ceil(2e0 - first_step), 1e0), 28e0)::integer:])
    + coalesce(
        (first_step + ceil(2e0 - first_step) - 2e0)
        * weights[nullif(least(greatest(ceil(2e0 - first_step) - 1e0, 0e0), 28e0)::integer, 0)]
        * likelihoods[nullif(least(greatest(ceil(2e0 - first_step) - 1e0, 0e0), 28e0)::integer, 0)],
        0e0)
