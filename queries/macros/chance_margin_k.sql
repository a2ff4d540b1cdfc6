-- How many kelvins a reading lies over the line of its chance [K]: where the healthy law, a t, has lost
-- as much likelihood as the odds are over the line. z residual [1] of a width [K]; freedom_square
-- degrees of freedom times the square of its tails; power as in fault_likelihoods; the rest as in
-- evidence_over.
create or replace temp macro chance_margin_k(
    z, width_k, freedom_square, power, odds, material_odds, line, doubt
) as
    width_k * (z - sqrt(greatest(
        (freedom_square + z * z) * exp(-evidence_over(odds, material_odds, line, doubt) / power)
        - freedom_square, 0e0)))
