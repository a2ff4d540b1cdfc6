"""Instruments: emissivity, limits, and the worked examples of the guide to uncertainty."""

from __future__ import annotations

import numpy as np
import pytest

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics import instruments as it
from analytics.statistics import surfaces
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


def test_sum_of_four_rectangulars() -> None:
    # JCGM 101:2008, 9.2.3 and 9.2.4 (from memory, recomputed): unit standard uncertainties, 95 %;
    # then one of them ten times as wide.
    one = float(np.sqrt(3.0))
    assert it.combined_limit([one] * 4) == pytest.approx(3.88, abs=5e-3)
    assert it.combined_limit([one] * 4) == pytest.approx(3.879407, abs=5e-7)
    assert it.combined_limit([one, one, one, 10 * one]) == pytest.approx(17.0, abs=0.05)
    # The guide's own 1.96 standard uncertainties would give 3.92 and 19.9.
    assert 1.96 * np.sqrt(103.0) == pytest.approx(19.9, abs=0.05)


def test_sum_of_rectangulars_by_drawing() -> None:
    # Camera 2 K and air 1 K, a million draws; two alike make a triangle (closed form).
    generator = np.random.default_rng(17)
    drawn = generator.uniform(-2, 2, 1_000_000) + generator.uniform(-1, 1, 1_000_000)
    assert it.combined_limit([2.0, 1.0]) == pytest.approx(
        np.quantile(np.abs(drawn), 0.95), abs=4e-3
    )
    assert it.combined_limit([1.0, 1.0]) == pytest.approx(2 * (1 - np.sqrt(0.05)), abs=1e-9)
    for wrong in ([], [1.0, 0.0], [1.0] * 13):
        with pytest.raises(UsageError, match="One to twelve"):
            it.combined_limit(wrong)


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


@pytest.mark.parametrize(
    ("surface", "low", "high"),
    [
        ("vinyl_tape", 0.96, 0.96),
        ("dull_pvc", 0.93, 0.93),
        ("moulded_case", 0.90, 0.95),
        ("copper_polished", 0.03, 0.03),
        ("copper_oxidised", 0.4, 0.8),
        ("aluminium_bare", 0.02, 0.1),
    ],
)
def test_usual_emissivities(surface: str, low: float, high: float) -> None:
    # Published compilations; the moulded case from memory.
    found = surfaces.emissivity(surface)
    assert (found.low, found.high) == (low, high)
    assert found.known == ("from memory" if surface == "moulded_case" else "published")


def test_why_bare_metal_is_read_on_tape() -> None:
    # 60 °C in a room of 20 °C by the ISO 18434-1 equation (derived): on tape within 2 K of the
    # truth, on bare metal nothing of the heat shows.
    on_tape, on_metal = (
        it.apparent_degc(60, surfaces.emissivity(one).high, 20)
        for one in ("vinyl_tape", "copper_polished")
    )
    assert 58 < on_tape < 60
    assert 20 < on_metal < 22
    with pytest.raises(UsageError, match="vinyl_tape"):
        surfaces.emissivity("velvet")
