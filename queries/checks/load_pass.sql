-- title: One pass of the fit of a load law: sums for a step, and residuals around each band's median
-- grain: one row a band of load-driven rise, an octave wide from half a kelvin up
-- key: rise_bin
-- reads: load_design
-- params: $offset_k and $log_gain the law's offset [K] and logarithm of its gain [K], $exponent [1];
--   $noise_k [K] and $noise_share [1] its spread; $tuning of the bisquare [1]; $is_newton true for
--   Newton weights, false for reweighting; $lows and $highs [K] between which each band's
--   median size of the residuals should lie, from band -1 on
-- source: Gauss-Newton with the bisquare's slope (Beaton & Tukey, Technometrics 16 (1974) 147) for
--   offset, logarithm of gain (l) and exponent (z); spread as in fitting.spread_bin
-- caveat: rows that are not finite, have no load or a negative weight are counted as left out
with driven as (
    select
        rise_k - $offset_k::double as own_k,
        weight,
        ln(load_fraction) as log_load,
        exp($log_gain::double + $exponent::double * ln(load_fraction)) as l
    from load_design
    where is_usable
),

spread as (
    select
        weight,
        l,
        l * log_load as z,
        own_k - l as e,
        abs(own_k - l) as size,
        $noise_k::double * $noise_k::double
        + $noise_share::double * $noise_share::double * l * l as variance,
        least(greatest(floor(log2(l / 0.5e0)), -1e0), 10e0)::integer as rise_bin
    from driven
),

held as (
    select
        *,
        ($lows::double[])[rise_bin + 2] as low,
        ($highs::double[])[rise_bin + 2] as high,
        greatest(1e0 - e * e / (variance * $tuning::double * $tuning::double), 0e0) as k,
        weight / variance * k as half,
        half * if($is_newton, 5e0 * k - 4e0, k) as slope
    from spread
)

select
    rise_bin,
    count(*) as reading_count,
    fsum(l * l) as l_square,
    count(*) filter (where size < low) as below_count,
    flatten(list([e, l, z]) filter (where size between low and high)) as inside,
    fsum(half * k * e) as right_1,
    fsum(half * k * e * l) as right_l,
    fsum(half * k * e * z) as right_z,
    fsum(slope) as w_11,
    fsum(slope * l) as w_1l,
    fsum(slope * z) as w_1z,
    fsum(slope * l * l) as w_ll,
    fsum(slope * l * z) as w_lz,
    fsum(slope * z * z) as w_zz,
    fsum(half * k) as w
from held
group by rise_bin
order by rise_bin
