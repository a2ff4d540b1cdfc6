-- Likelihood of an excess of heat against none [1], for each ratio of a grid: two t densities, the
-- second moved by ratio * load-driven rise. The squared distance of the moved residual is
-- square - 2 ratio * cross + ratio^2 * size: for one channel z^2, z * load size, load size^2, for two
-- the same by the inner product of `joint_square`. freedom degrees of freedom; power temper times
-- half of freedom and dimensions, temper being the power to which a likelihood ratio counts (a
-- model of the healthy spread is never exact: Grunwald 2012, from memory).
create or replace temp macro fault_likelihoods(square, cross_square, size_square, freedom, power, ratios) as
    list_transform(ratios, lambda r: pow(
        (freedom + square) / (freedom + square - 2e0 * r * cross_square + r * r * size_square), power))
