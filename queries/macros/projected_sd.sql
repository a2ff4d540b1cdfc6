-- Standard uncertainty [K] of a projected rise from the reading's own and the exponent's.
-- Source: JCGM 100 law of propagation on dT2 = dT1 (I2 / I1)^n.
create or replace temp macro projected_sd_k(
    own_load_rise_k, own_load_sd_k, load_fraction, exponent, exponent_sd, target_fraction
) as
    pow(target_fraction / load_fraction, exponent)
    * hypot(own_load_sd_k, own_load_rise_k * ln(target_fraction / load_fraction) * exponent_sd)
