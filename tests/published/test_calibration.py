"""Calibration against published scores, exact fractions and reference libraries."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from analytics.errors import NotConvergedError, NotEnoughDataError, UsageError
from analytics.statistics.calibration import brier, brier_parts, isotonic, logistic


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        # R's isoreg (run in R; scikit-learn and scipy agree exactly).
        ([1, 0, 4, 3, 3, 5, 4, 2, 0], [0.5, 0.5, *[3.0] * 7]),
        ([1, 0, 4, 3, 3, 5, 4, 2, 3], [0.5, 0.5, *[10 / 3] * 3, *[3.5] * 4]),
    ],
)
def test_isotonic(given: list[float], expected: list[float]) -> None:
    assert isotonic(given) == pytest.approx(expected, abs=1e-14)


def test_weighted_isotonic_agrees_with_the_reference_library() -> None:
    from sklearn.isotonic import isotonic_regression

    rng = np.random.default_rng(8)
    values, weights = np.linspace(0, 1, 200) + rng.normal(0, 0.4, 200), rng.uniform(0.1, 3, 200)
    expected = isotonic_regression(values, sample_weight=weights)
    assert isotonic(values, weights) == pytest.approx(expected, abs=1e-12)
    with pytest.raises(UsageError, match="weight above 0"):
        isotonic([1.0, 2.0], [1.0, 0.0])


def test_brier_of_the_source() -> None:
    # G. W. Brier 1950, table 1: two-class score .19 (from memory), so half of it here.
    forecast = [0.7, 0.9, 0.8, 0.4, 0.2, 0, 0, 0, 0, 0.1]
    assert 2 * brier(forecast, [0, 1, 1, 1, 0, 0, 0, 0, 0, 0]) == pytest.approx(0.19, abs=1e-15)


def test_murphy_parts_are_exact_fractions() -> None:
    # .1 ten times with 2 events, .4 and .8 five times with 3 each: worked out in fractions.
    forecast = [0.1] * 10 + [0.4] * 5 + [0.8] * 5
    outcome = [1] * 2 + [0] * 8 + [1] * 3 + [0] * 2 + [1] * 3 + [0] * 2
    parts = brier_parts(forecast, outcome)
    expected = (Fraction(9, 40), Fraction(1, 40), Fraction(1, 25), Fraction(6, 25))
    found = (parts.score, parts.reliability, parts.resolution, parts.uncertainty)
    assert found == pytest.approx([float(x) for x in expected], abs=1e-15)
    grouped = brier_parts([0.1, 0.1, 0.4, 0.4, 0.8, 0.8], [1, 0, 1, 0, 1, 0], [2, 8, 3, 2, 3, 2])
    assert grouped.reliability == pytest.approx(1 / 40, abs=1e-15)


def test_parts_add_up() -> None:
    rng = np.random.default_rng(2)
    chance = np.round(rng.random(500), 1)
    outcome = rng.random(500) < chance**1.3
    parts = brier_parts(chance, outcome, rng.uniform(0.5, 2, 500))
    whole = parts.reliability - parts.resolution + parts.uncertainty
    assert parts.score == pytest.approx(whole, abs=1e-14)


def test_spector_logit() -> None:
    # L. C. Spector, M. Mazzeo (1980); W. H. Greene, Econometric Analysis (from memory, recomputed).
    import statsmodels.datasets.spector as spector

    data = spector.load_pandas()
    design = np.column_stack([np.ones(32), data.exog[["GPA", "TUCE", "PSI"]].to_numpy()])
    fit = logistic(design, data.endog.to_numpy())
    assert fit.coefficients == pytest.approx([-13.02135, 2.82611, 0.09516, 2.37869], abs=5e-6)
    assert fit.standard_errors == pytest.approx([4.93132, 1.26294, 0.14155, 1.06456], abs=6e-6)
    assert fit.log_likelihood == pytest.approx(-12.88963, abs=5e-6)


def test_shares_and_weights_stand_for_rows() -> None:
    long = logistic([[1, 0]] * 10 + [[1, 1]] * 20, [1] * 2 + [0] * 8 + [1] * 9 + [0] * 11)
    short = logistic([[1, 0], [1, 1]], [0.2, 0.45], [10, 20])
    assert short.coefficients == pytest.approx(long.coefficients, abs=1e-10)
    # Closed form of a saturated fit: log odds.
    assert short.coefficients[0] == pytest.approx(np.log(0.2 / 0.8))
    assert short.chances([[1, 1]]) == pytest.approx([0.45])


def test_groups_wholly_apart_are_told() -> None:
    with pytest.raises(NotConvergedError, match="wholly apart"):
        logistic([[1, 0], [1, 1], [1, 2], [1, 3]], [0, 0, 1, 1])
    with pytest.raises(NotEnoughDataError, match="alike"):
        logistic([[1], [1]], [0, 0])
    with pytest.raises(NotEnoughDataError, match="told apart"):
        logistic([[1, 2], [1, 2]], [0, 1])
    with pytest.raises(UsageError, match="outside 0 to 1"):
        brier([1.2], [1])
    with pytest.raises(NotEnoughDataError, match="no findings"):
        brier([], [])
