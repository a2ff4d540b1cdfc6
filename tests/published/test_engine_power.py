"""The baseline's own fit on published power laws, growing spreads and outliers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest

from analytics.baseline import equations as eq
from analytics.baseline.fit import Fitted, run
from analytics.baseline.likelihood import Components, maximise
from analytics.errors import NotConvergedError
from analytics.settings import Held, Prior
from analytics.warehouse import Warehouse, open_store
from tests.published import grouped_tables, tables
from tests.published.plain_engine import PLAIN, Layout, lay

ANCHOR = 1e9
"""Weight of a row with no load and no rise: it holds the offset, which the engine always has."""


@pytest.fixture
def store() -> Iterator[Warehouse]:
    with open_store() as opened:
        yield opened


def power_fit(
    store: Warehouse,
    load: np.ndarray,
    rise: np.ndarray,
    weights: np.ndarray,
    start: float = 1.64,
) -> Fitted:
    """Fit rise = gain * load^n without offset."""
    layout = Layout(load=np.append(load, 0.0), weights=np.append(weights, ANCHOR))
    lay(store, np.append(rise, 0.0), layout)
    return run(store, replace(PLAIN, exponent=Prior(start, 1e6)))


def test_radiated_energy_of_a_filament(store: Warehouse) -> None:
    # NIST StRD, DanWood (published, recomputed), from NIST's second start.
    load, ones = tables.DANWOOD_X / 2.0, np.ones(6)
    fitted = power_fit(store, load, tables.DANWOOD_Y, ones, start=4.0)
    exponent, gain = fitted.groups.exponent["face"], fitted.groups.coefficients[0, 1]
    assert exponent == pytest.approx(3.8604055871, rel=1e-8)
    assert gain / 2.0**exponent == pytest.approx(0.76886226176, rel=1e-7)
    left = tables.DANWOOD_Y - gain * load**exponent
    assert left @ left == pytest.approx(4.3173084083e-3, rel=1e-9)
    error = eq.exponent_error(fitted.groups, fitted.sums, "face", 1e6)
    assert error * 0.032853114039 == pytest.approx(0.051726610913, rel=1e-6)


def stopping(store: Warehouse, power_of_speed: float) -> tuple[float, float, float, float]:
    """Return log-likelihood, gain, exponent and sigma where the spread goes with a power."""
    speed, rows = tables.CARS_SPEED / 10.0, len(tables.CARS_SPEED)
    weights = speed ** (-2.0 * power_of_speed)
    fitted = power_fit(store, speed, tables.CARS_DISTANCE, weights)
    exponent, gain = fitted.groups.exponent["face"], float(fitted.groups.coefficients[0, 1])
    left = tables.CARS_DISTANCE - gain * speed**exponent
    variance = float(np.mean(weights * left**2))
    likelihood = -rows / 2 * (np.log(2 * np.pi * variance) + 1)
    likelihood -= power_of_speed * float(np.log(speed).sum())
    sigma = np.sqrt(variance) / gain ** (power_of_speed / exponent)
    return float(likelihood), gain / 10.0**exponent, exponent, float(sigma)


def test_stopping_distances_with_growing_spread(store: Warehouse) -> None:
    # Ezekiel 1930; nlme's gnls with a power of the fitted value. The engine's spread is a constant
    # and a share of the load's rise, so the power comes as weights: a power of gain * speed^n is a
    # power of speed, and the likelihood has its top at the published one.
    at, step = 1.4884591 * 0.5883006, 0.01
    likelihood, gain, exponent, sigma = stopping(store, at)
    assert likelihood == pytest.approx(-201.318699, abs=1e-6)
    assert (gain, exponent) == pytest.approx((0.703533, 1.488458), abs=5e-6)
    assert sigma * np.sqrt(50 / 48) == pytest.approx(1.654833, rel=1e-5)
    below, above = (stopping(store, at + one)[0] for one in (-step, step))
    top = at + step / 2 * (below - above) / (below - 2 * likelihood + above)
    assert top / exponent == pytest.approx(0.588301, abs=1e-4)


def dialysers(store: Warehouse, power: float) -> Components:
    """Fit the quartics of both blood flows where the spread goes with a power of the pressure."""
    pressure = grouped_tables.DIALYSER_PRESSURE
    layout = Layout(
        groups=np.repeat([200, 300], 70),
        slopes=tuple(pressure**k for k in (1, 2, 3, 4)),
        weights=pressure ** (-2 * power),
    )
    lay(store, grouped_tables.DIALYSER_RATE, layout)
    run(store, PLAIN)
    return maximise(store, Held())


def test_dialysers_with_growing_spread(store: Warehouse) -> None:
    # Vonesh and Carter 1992; Pinheiro and Bates 2000, p. 215 (from memory) and nlme: -357.11, LR
    # 24.95. Each blood flow is a group of the engine, with its own quartic as four slopes.
    at, step = 0.4424393, 0.004
    best, flat = dialysers(store, at), dialysers(store, 0.0)
    assert best.deviance / -2 == pytest.approx(-357.1103165, abs=1e-6)
    assert flat.deviance / -2 == pytest.approx(-369.5853477, abs=1e-6)
    assert flat.deviance - best.deviance == pytest.approx(24.950062, abs=1e-6)
    assert best.held.noise_k == pytest.approx(3.0851327, abs=1e-6)
    below, above = (dialysers(store, at + one).deviance for one in (-step, step))
    top = at + step / 2 * (below - above) / (below - 2 * best.deviance + above)
    assert top == pytest.approx(0.4424393, abs=1e-5)


@pytest.mark.parametrize("end", [0.27828, 0.59834])
def test_interval_of_the_power_of_the_spread(store: Warehouse, end: float) -> None:
    # Dialyser, profile likelihood (recomputed): chi-square with one degree of freedom at 95 %.
    risen = dialysers(store, end).deviance - 2 * 357.1103165
    assert risen == pytest.approx(3.8414588, abs=1e-4)


def test_bisquare_on_stack_loss(store: Warehouse) -> None:
    # Brownlee's data, MASS::rlm with psi.bisquare (run in R): the engine's bisquare at that scale.
    import statsmodels.datasets.stackloss as stackloss

    data = stackloss.load_pandas()
    slopes = tuple(data.exog[name].to_numpy(dtype=float) for name in data.exog)
    lay(store, data.endog, Layout(slopes=slopes))
    fitted = run(store, replace(PLAIN, tuning=4.685, held=Held(noise_k=2.2818533)))
    found = fitted.groups.coefficients[0, [0, 2, 3, 4]]
    assert found == pytest.approx([-42.2853215, 0.9275590, 0.6507112, -0.1123331], abs=2e-6)
    (middle,) = store.fetch("select median(abs(residual_k)) / 0.6745 from fitting.predicted")[0]
    assert middle == pytest.approx(2.2818533, abs=1e-6)
    weights = [row[0] for row in store.fetch("select weight from fitting.predicted order by all")]
    assert min(weights) * 2.2818533**2 == pytest.approx(0.0022, abs=5e-5)


def test_an_exponent_at_its_bound_is_refused(store: Warehouse) -> None:
    load = np.linspace(0.05, 1.0, 40)
    lay(store, 30.0 + 10.0 * np.log(load / 0.05), Layout(load=load))
    with pytest.raises(NotConvergedError, match=r"ran to the bound 0\.9") as caught:
        run(store, replace(PLAIN, exponent_bounds=(0.9, 3.0)))
    assert caught.value.history[-1].exponent == 0.9
    assert "earlier baseline" in caught.value.remedy
