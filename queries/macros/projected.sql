-- Rise [K] to be expected at another load: the still part stays, the load-driven part grows as
-- (to / from)^n. Source: load correction of IEC 61439-1, 10.10.2.3.1.
create or replace temp macro projected_k(
    still_k, own_load_rise_k, load_fraction, exponent, target_fraction
) as
    still_k + own_load_rise_k * pow(target_fraction / load_fraction, exponent)
