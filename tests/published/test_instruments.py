"""Instruments: emissivity, limits, and the worked examples of the guide to uncertainty."""

from __future__ import annotations

import numpy as np
import pytest

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics import instruments as it
from tests.published import tables


@pytest.mark.parametrize(
    ("apparent", "emissivity", "reflected", "expected"),
    [(60, 0.95, 20, 61.74), (40, 0.60, 20, 51.46), (25, 0.07, 20, 75.46)],
)
def test_emissivity_correction(
    apparent: float, emissivity: float, reflected: float, expected: float
) -> None:
    # ISO 18434-1 equation, total radiation (derived).
    assert it.surface_degc(apparent, emissivity, reflected) == pytest.approx(expected, abs=5e-3)


def test_emissivity_correction_changes_nothing_where_it_must_not() -> None:
    assert it.surface_degc([20, 60, 90], 1.0, 20) == pytest.approx([20, 60, 90], abs=1e-9)
    assert it.surface_degc(25, [0.1, 0.5, 0.9], 25) == pytest.approx([25, 25, 25], abs=1e-9)


def test_a_shiny_terminal_looks_cool() -> None:
    # ISO 18434-1 equation (derived): 60 °C at ε 0.07 reads 23 °C.
    assert it.apparent_degc(60, 0.07, 20) == pytest.approx(23, abs=0.5)
    surface = np.array([20.0, 45.0, 120.0])
    seen = it.apparent_degc(surface, 0.6, 15)
    assert it.surface_degc(seen, 0.6, 15) == pytest.approx(surface, abs=1e-9)


def test_impossible_emissivities_and_reflections() -> None:
    assert np.isnan(it.surface_degc(20, 0.05, 60))
    for wrong in (0.0, 1.2, -0.5):
        with pytest.raises(UsageError, match="emissivity"):
            it.surface_degc(20, wrong, 20)


def test_emissivity_sensitivities() -> None:
    # Grey body at ε 0.95, 80 °C, reflected 20 °C (derived): −48.808 K a unit, −0.0301.
    seen = it.apparent_degc(80, 0.95, 20)
    by_emissivity = it.surface_uncertainty_k(seen, 0.95, 20, u_emissivity=1.0)
    by_reflected = it.surface_uncertainty_k(seen, 0.95, 20, u_reflected_k=1.0)
    assert by_emissivity == pytest.approx(48.807824, abs=1e-6)
    assert by_reflected == pytest.approx(0.0301050, abs=1e-7)
    numeric = (
        it.surface_degc(seen + 1e-4, 0.95, 20) - it.surface_degc(seen - 1e-4, 0.95, 20)
    ) / 2e-4
    assert it.surface_uncertainty_k(seen, 0.95, 20, u_apparent_k=1.0) == pytest.approx(numeric)


def test_camera_and_clamp_limits() -> None:
    # Usual data-sheet classes (published): ±2 °C or ±2 %, crossing at 100 °C; ±(2 % + 5 digits).
    assert it.camera_limit_k([-20, 40, 100, 150]).tolist() == [2.0, 2.0, 2.0, 3.0]
    limits = it.clamp_limit_a([16.0, 4.0, 1.5])
    assert limits[:2] == pytest.approx([0.82, 0.58], abs=1e-9)
    assert limits / [16.0, 4.0, 1.5] == pytest.approx([0.051, 0.145, 0.35], abs=5e-3)


def test_a_limit_is_taken_as_rectangular() -> None:
    # JCGM 100:2008, 4.3.7: limit / √3.
    assert it.standard_uncertainty(np.sqrt(3.0)) == pytest.approx(1.0, abs=1e-15)
    assert "4.3.7" in it.RECTANGULAR_DIVISOR.source


@pytest.mark.parametrize(("read_at", "expected"), [(16.0, 1.6), (8.0, 4.2), (4.0, 12.0)])
def test_uncertainty_of_a_projected_rise(read_at: float, expected: float) -> None:
    # JCGM 100:2008 with the limits above (derived): true 20 K at 16 A, camera ±2, air ±1, n 1.6.
    found = it.projected_uncertainty_k(
        20 * (read_at / 16) ** 1.6,
        read_at,
        16.0,
        u_rise_k=np.hypot(it.standard_uncertainty(2.0), it.standard_uncertainty(1.0)),
        u_current_a=it.standard_uncertainty(it.clamp_limit_a(read_at)),
        exponent=1.6,
    )
    assert found == pytest.approx(expected, rel=0.03)


def test_uncertainty_of_the_exponent_counts() -> None:
    found = it.projected_uncertainty_k(
        [10.0, 10.0], [8.0, 16.0], 16.0, u_rise_k=0, u_current_a=0, exponent=1.6, u_exponent=0.1
    )
    assert found == pytest.approx([10 * 2**1.6 * np.log(2) * 0.1, 0.0])


def impedance(values: np.ndarray) -> np.ndarray:
    """Return resistance, reactance, impedance of voltage, current and phase."""
    voltage, current, phase = values
    size = voltage / current
    return np.array([size * np.cos(phase), size * np.sin(phase), size])


def test_simultaneous_resistance_and_reactance() -> None:
    # JCGM 100:2008, H.2 (published, recomputed); the guide prints 0.295 for 0.2956.
    mean, covariance = it.mean_with_covariance(tables.GUM_H2)
    value, spread = it.propagate(impedance, mean, covariance)
    error = np.sqrt(np.diag(spread))
    assert value == pytest.approx([127.732, 219.847, 254.260], abs=1e-3)
    assert error == pytest.approx([0.071, 0.295, 0.236], abs=1e-3)
    assert error == pytest.approx([0.0710714, 0.2955817, 0.2363361], rel=1e-5)
    correlation = spread / np.outer(error, error)
    found = correlation[[0, 0, 1], [1, 2, 2]]
    assert found == pytest.approx([-0.588, -0.485, 0.993], abs=1e-3)


def test_dropping_the_covariance_misleads() -> None:
    # JCGM 100:2008, H.2 without correlation (published, recomputed): 0.195, 0.201, 0.204.
    mean, covariance = it.mean_with_covariance(tables.GUM_H2)
    _, spread = it.propagate(impedance, mean, np.diag(np.diag(covariance)))
    assert np.sqrt(np.diag(spread)) == pytest.approx([0.195, 0.201, 0.204], abs=1e-3)


def test_thermometer_calibration_line() -> None:
    # JCGM 100:2008, H.3 (published, recomputed).
    line = it.calibration_line(tables.GUM_H3_READING, tables.GUM_H3_CORRECTION, reference=20.0)
    error = np.sqrt(np.diag(line.covariance))
    assert line.intercept == pytest.approx(-0.1712, abs=5e-5)
    assert line.slope == pytest.approx(0.00218, abs=5e-6)
    assert error == pytest.approx([0.0029, 0.00067], abs=5e-5)
    assert line.covariance[0, 1] / error.prod() == pytest.approx(-0.930, abs=5e-4)
    assert line.spread == pytest.approx(0.0035, abs=5e-5)
    value, u_value = line.at(30.0)
    assert value == pytest.approx(-0.1494, abs=5e-5)
    assert u_value == pytest.approx(0.0041, abs=5e-5)
    # Dropping the covariance of intercept and slope gives 0.0073 (published, recomputed).
    assert np.hypot(error[0], 10 * error[1]) == pytest.approx(0.0073, abs=5e-5)


def test_too_few_readings_are_refused() -> None:
    with pytest.raises(NotEnoughDataError):
        it.mean_with_covariance([[1.0, 2.0]])
    with pytest.raises(NotEnoughDataError):
        it.calibration_line([20.0, 20.0, 20.0], [0.1, 0.2, 0.3])
