"""Lines through uncertain loads, against their published solutions."""

from __future__ import annotations

import numpy as np
import pytest

from analytics.errors import NotConvergedError, NotEnoughDataError, UsageError
from analytics.statistics import errors_in_variables as ev
from analytics.statistics import instruments as it
from tests.published import tables


def test_line_with_errors_both_ways() -> None:
    # Pearson's points with York's weights: York 1966; York et al. 2004 (from memory, recomputed).
    line = ev.york_line(*tables.PEARSON_YORK.T)
    assert line.slope == pytest.approx(-0.480533407446, abs=1e-11)
    assert line.intercept == pytest.approx(5.479910224033, abs=1e-11)
    assert (line.slope_error, line.intercept_error) == pytest.approx((0.058, 0.295), abs=5e-4)
    assert line.slope_error == pytest.approx(0.0579850, abs=5e-8)
    assert line.intercept_error == pytest.approx(0.2949707, abs=5e-8)
    assert line.square_sum == pytest.approx(11.8663532, abs=5e-8)
    assert line.square_sum / (line.rows - 2) == pytest.approx(1.483, abs=5e-4)


def test_unweighted_line_lies_between_both_regressions() -> None:
    # Pearson 1901: orthogonal slope -0.546, intercept 5.7857 with the centroid rounded (published).
    x, y = tables.PEARSON_YORK[:, :2].T
    line = ev.york_line(x, y, np.ones(10), np.ones(10))
    assert (line.slope, line.intercept) == pytest.approx((-0.5455612, 5.7840438), abs=1e-7)
    assert (line.slope, line.intercept) == pytest.approx((-0.546, 5.7857), abs=2e-3)
    plain, inverse = np.polyfit(x, y, 1)[0], 1 / np.polyfit(y, x, 1)[0]
    assert (plain, inverse) == pytest.approx((-0.5395773, -0.5658889), abs=1e-7)
    assert inverse < line.slope < plain


def test_attenuation_undone() -> None:
    # Fuller 1987, 1.2: corn on soil nitrogen, error variance 57: 67.56 (12.54), .4232 (.174).
    x, y = tables.FULLER_NITROGEN, tables.FULLER_CORN
    line = ev.corrected_line(x, y, 57.0)
    moments = np.cov(x, y)
    found = [moments[0, 0], moments[0, 1], moments[1, 1]]
    assert found == pytest.approx([304.8545, 104.8818, 87.6727], abs=5e-5)
    assert (line.intercept, line.slope) == pytest.approx((67.5641505, 0.4231587), abs=5e-8)
    errors = (line.intercept_error, line.slope_error)
    assert errors == pytest.approx((12.5422774, 0.1744848), abs=5e-8)
    assert line.reliability == pytest.approx(0.8130256, abs=5e-8)
    plain = np.polyfit(x, y, 1)[0]
    assert plain == pytest.approx(0.3440389, abs=5e-8)
    assert plain / line.slope == pytest.approx(line.reliability, rel=1e-12)


def load_errors(load_fraction: np.ndarray, rated_a: float, exponent: float) -> np.ndarray:
    """Return the standard uncertainty of load^n that a clamp of the usual class leaves."""
    limit = it.clamp_limit_a(load_fraction * rated_a) / rated_a
    return exponent * load_fraction ** (exponent - 1) * it.standard_uncertainty(limit)


@pytest.mark.parametrize(("top", "least", "most"), [(1.0, 0.985, 0.995), (0.15, 0.75, 0.95)])
def test_a_clamp_flattens_low_loads_only(top: float, least: float, most: float) -> None:
    # Simulated, 15 A devices, clamp 2 % and 5 digits of 0.1 A: over the whole range of loads the
    # gain comes out 1 % too low; from loads under 15 % alone a quarter.
    generator, exponent, slope = np.random.default_rng(21), 1.64, 30.0
    load = generator.uniform(0.02, top, 4000)
    shown = load**exponent + load_errors(load, 15.0, exponent) * generator.normal(size=4000)
    rise = 2.0 + slope * load**exponent + generator.normal(scale=0.5, size=4000)
    line = ev.corrected_line(shown, rise, load_errors(load, 15.0, exponent) ** 2)
    assert least < line.reliability < most
    assert abs(line.slope - slope) < 4 * line.slope_error
    plain = np.polyfit(shown, rise, 1)[0]
    assert plain == pytest.approx(slope * line.reliability, rel=0.03)


def test_what_cannot_be_fitted_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    one = np.ones(4)
    with pytest.raises(UsageError, match="one shape"):
        ev.york_line(one, one[:3], one, one)
    with pytest.raises(UsageError, match="over 0"):
        ev.york_line(one, one, one, 0 * one)
    with pytest.raises(NotEnoughDataError, match="Three"):
        ev.york_line(one[:2], one[:2], one[:2], one[:2])
    with pytest.raises(UsageError, match="differ in shape"):
        ev.corrected_line([1, 2, 3], [1, 2], 0.1)
    with pytest.raises(NotEnoughDataError, match="own error"):
        ev.corrected_line([1, 2, 3], [1, 2, 3], 1.5)
    with pytest.raises(NotEnoughDataError, match="Three"):
        ev.reliability([1.0, 2.0], 0.1)
    monkeypatch.setattr(ev, "_MOST_STEPS", 2)
    with pytest.raises(NotConvergedError) as caught:
        ev.york_line(*tables.PEARSON_YORK.T)
    assert len(caught.value.history) == 3
