"""The exponent and its interval against certified fits."""

from __future__ import annotations

import numpy as np
import pytest

from analytics.errors import NotConvergedError, NotEnoughDataError, UsageError
from analytics.statistics.powerlaw import fit_power_law, fit_with_spread
from tests.published import tables


def test_radiated_energy_of_a_filament() -> None:
    # NIST StRD, DanWood (published, recomputed).
    fit = fit_power_law(tables.DANWOOD_X, tables.DANWOOD_Y, has_offset=False)
    assert fit.gain == pytest.approx(0.76886226176, rel=1e-9)
    assert fit.exponent == pytest.approx(3.8604055871, rel=1e-9)
    assert fit.square_sum == pytest.approx(4.3173084083e-3, rel=1e-9)
    assert fit.spread == pytest.approx(0.032853114039, rel=1e-9)
    assert fit.gain_error == pytest.approx(0.018281973860, rel=1e-8)
    assert fit.exponent_error == pytest.approx(0.051726610913, rel=1e-8)
    assert fit.offset == 0.0


def test_profile_interval_of_the_exponent() -> None:
    # DanWood, profile likelihood: F-based as in R's confint for nls, and by likelihood ratio.
    fit = fit_power_law(tables.DANWOOD_X, tables.DANWOOD_Y, has_offset=False)
    assert fit.interval_f == pytest.approx((3.71806, 4.00418), abs=5e-6)
    assert fit.interval_chi2 == pytest.approx((3.76314, 3.95834), abs=5e-6)


def test_a_line_through_logarithms_is_another_estimator() -> None:
    # DanWood: 0.7499 and 3.9172, not the certified values (recomputed).
    slope, start = np.polyfit(np.log(tables.DANWOOD_X), np.log(tables.DANWOOD_Y), 1)
    assert (np.exp(start), slope) == pytest.approx((0.7499, 3.9172), abs=5e-5)
    fit = fit_power_law(tables.DANWOOD_X, tables.DANWOOD_Y, has_offset=False)
    assert abs(fit.exponent - slope) > 0.05


def test_stopping_distances() -> None:
    # Ezekiel 1930, R's nls: n 1.5492936 (0.1920290), 95 % 1.174215 to 1.969288.
    fit = fit_power_law(tables.CARS_SPEED, tables.CARS_DISTANCE, has_offset=False)
    assert fit.gain == pytest.approx(0.5896688, abs=1e-4)
    assert fit.exponent == pytest.approx(1.5492936, abs=1e-4)
    assert fit.exponent_error == pytest.approx(0.1920290, abs=1e-4)
    assert fit.interval_f == pytest.approx((1.174215, 1.969288), abs=1e-4)


def test_stopping_distances_with_growing_spread() -> None:
    # Ezekiel 1930, R's gnls with a variance power of the fitted value; its sigma divides by n − p.
    fit = fit_with_spread(tables.CARS_SPEED, tables.CARS_DISTANCE)
    assert fit.gain == pytest.approx(0.703533, abs=1e-5)
    assert fit.exponent == pytest.approx(1.488458, abs=1e-5)
    assert fit.spread_power == pytest.approx(0.588301, abs=1e-5)
    assert fit.spread * np.sqrt(50 / 48) == pytest.approx(1.654833, rel=1e-5)
    assert fit.log_likelihood == pytest.approx(-201.318699, abs=1e-6)


def test_exact_data_give_back_their_law() -> None:
    load = np.linspace(0.0, 1.2, 25)
    fit = fit_power_law(load, 3.0 + 28.0 * load**1.7)
    assert (fit.offset, fit.gain, fit.exponent) == pytest.approx((3.0, 28.0, 1.7), rel=1e-8)


def test_weights_are_inverse_variances() -> None:
    # Doubling a row is the same as doubling its weight.
    generator = np.random.default_rng(11)
    load = generator.uniform(0.1, 1, 40)
    rise = 2 + 25 * load**1.6 + generator.normal(size=40)
    twice = np.where(np.arange(40) < 10, 2.0, 1.0)
    weighted = fit_power_law(load, rise, weights=twice)
    doubled = fit_power_law(np.append(load, load[:10]), np.append(rise, rise[:10]))
    assert weighted.exponent == pytest.approx(doubled.exponent, rel=1e-9)
    assert weighted.square_sum == pytest.approx(doubled.square_sum, rel=1e-9)


def test_the_interval_covers_at_its_rate() -> None:
    # Guarantee: 95 % intervals hold the truth in 95 % of draws (binomial 99.9 % band of 200).
    generator, load = np.random.default_rng(2), np.linspace(0.1, 1, 20)
    held = 0
    for _ in range(200):
        fit = fit_power_law(load, 25 * load**1.64 + generator.normal(size=20), has_offset=False)
        held += fit.interval_f[0] <= 1.64 <= fit.interval_f[1]
    assert 179 <= held <= 198


def test_a_plateau_has_no_exponent() -> None:
    load = np.linspace(0.1, 1, 30)
    rise = np.where(load > 0.12, 40.0, 10.0)
    with pytest.raises(NotConvergedError, match="at the bound") as caught:
        fit_power_law(load, rise)
    assert len(caught.value.history) > 10


def test_data_that_do_not_bound_the_exponent_say_so() -> None:
    generator, load = np.random.default_rng(4), np.linspace(0.5, 0.6, 8)
    rise = 25 * load**2 + generator.normal(scale=4.0, size=8)
    fit = fit_power_law(load, rise, has_offset=False, bounds=(0.2, 6.0))
    assert fit.interval_f[0] == -np.inf or fit.interval_f[1] == np.inf


def test_what_cannot_be_fitted_is_refused() -> None:
    with pytest.raises(NotEnoughDataError):
        fit_power_law([0.5, 0.5, 0.5, 0.5, 0.5], [1, 2, 3, 4, 5])
    with pytest.raises(NotEnoughDataError):
        fit_power_law([0.1, 0.5], [1, 2])
    with pytest.raises(UsageError):
        fit_power_law([0.1, -0.5, 1], [1, 2, 3])
    with pytest.raises(UsageError):
        fit_power_law([0.1, 0.5, 1], [1, np.nan, 3])
    with pytest.raises(UsageError):
        fit_power_law([0.1, 0.5, 1], [1, 3])
