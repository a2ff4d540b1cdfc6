-- Weights of a grid of excess heat ratios, cut softly below the lift that counts as material.
-- load_rise_k load-driven rise [K], least_lift_k [K], step ratio between neighbours of the grid [1].
create or replace temp macro material_weights(ratios, weights, load_rise_k, least_lift_k, step) as
    list_transform(
        list_zip(ratios, weights),
        lambda p: p[2] * least(greatest(
            ln(greatest(p[1] * load_rise_k, 1e-9) / least_lift_k) / ln(step) + 0.5e0, 0e0), 1e0)
    )
