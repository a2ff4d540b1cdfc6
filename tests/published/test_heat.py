"""The physics of a rise against its published values."""

from __future__ import annotations

import numpy as np
import pytest

from analytics.errors import UsageError
from analytics.statistics import conductors, heat


def test_load_correction_of_the_standard() -> None:
    # IEC 61439-1, 10.10.2.3.1 (published, recomputed): 973 A at 102 K is 990 A at 105 K.
    assert heat.EXPONENT_IEC.value == pytest.approx(1.639, abs=5e-4)
    assert heat.load_corrected_current_a(973, 102, 105) == pytest.approx(990, abs=0.5)
    assert heat.load_corrected_rise_k(102, 973, 990.34) == pytest.approx(105, abs=0.01)


def test_load_correction_of_nothing_is_nothing() -> None:
    assert np.isnan(heat.load_corrected_rise_k(5, [0, -1], 15)).all()
    assert np.isnan(heat.load_corrected_current_a(5, 0, 15))


def test_exponents_of_the_heat_balance() -> None:
    # Constant film 2, laminar 2/1.25, turbulent 1.5: derived, exact.
    assert heat.EXPONENT_CONSTANT_FILM.value == 2.0
    assert heat.EXPONENT_LAMINAR.value == pytest.approx(1.6)
    assert heat.EXPONENT_TURBULENT.value == 1.5
    # IEEE C37.010 1.8 and IEEE C57.91 1.6: from memory.
    assert heat.EXPONENT_SWITCHGEAR.value == 1.8
    assert heat.EXPONENT_TRANSFORMER.value == 1.6
    found = heat.is_exponent_plausible([1.39, 1.4, 1.639, 2.2, 2.21, np.nan])
    assert found.tolist() == [False, True, True, True, False, False]


@pytest.mark.parametrize(
    ("load_fraction", "expected"),
    [
        (0.4, [4.332, 4.491, 5.203, 6.250]),
        (0.5, [3.031, 3.115, 3.482, 4.000]),
        (0.8, [1.429, 1.442, 1.494, 1.5625]),
    ],
)
def test_full_load_multiplier(load_fraction: float, expected: list[float]) -> None:
    # (1/f)^n at n = 1.6, 1/0.61, 1.8, 2.0: derived, exact.
    found = heat.full_load_multiplier(load_fraction, [1.6, 1 / 0.61, 1.8, 2.0])
    assert found == pytest.approx(expected, abs=5.1e-4)


def test_the_exponent_matters_most_at_low_load() -> None:
    # At 40 % of load the projection moves by 44 % between n = 1.6 and 2: derived.
    low, high = heat.full_load_multiplier(0.4, [1.6, 2.0])
    assert high / low - 1 == pytest.approx(0.44, abs=5e-3)


def test_prior_rise_at_part_load() -> None:
    # Body 30 K at full load: common practice, no published source; the rest by n = 1.639.
    found = heat.load_corrected_rise_k(30, 100, [80, 50, 40], 1.639)
    assert found == pytest.approx([20.8, 9.6, 6.7], abs=0.05)


def test_films_in_metres() -> None:
    # Handbook formulas (published): cylinder of 80 mm at 50 K gives 6.60 W/(m² K).
    assert heat.cylinder_film_w_m2k(50, 0.08) == pytest.approx(6.60, abs=5e-3)
    assert heat.vertical_film_w_m2k(16, 1.0) == pytest.approx(2.84)
    # Public copies put millimetres in, which is off by a factor of 1000^¼.
    assert heat.cylinder_film_w_m2k(50, 80) < 1.3
    with pytest.raises(UsageError, match="over 0 m"):
        heat.vertical_film_w_m2k(30, 0)


def test_radiation_film() -> None:
    # ISO 6946 annex, from memory, recomputed: 5.71 W/(m² K) at 20 °C.
    assert heat.radiation_film_w_m2k(20) == pytest.approx(5.71, abs=5e-3)


def test_warm_up() -> None:
    # First-order model (derived): 63.2, 86.5, 95.0 % after 1, 2, 3 time constants.
    assert heat.warm_up_share([1, 2, 3], 1) == pytest.approx([0.632, 0.865, 0.950], abs=5e-4)
    # Thirty minutes are common practice, no published source: 70 to 86 % of a body's final rise.
    slow, fast = (one.value for one in reversed(heat.BODY_TIME_CONSTANTS))
    found = heat.warm_up_share(heat.SETTLED_MINUTES.value, [slow, fast])
    assert found == pytest.approx([0.70, 0.86], abs=0.015)
    with pytest.raises(UsageError, match="time constant"):
        heat.warm_up_share(10, 0)


@pytest.mark.parametrize(
    ("material", "printed"),
    [("copper", [3.07, 1.93, 1.21, 0.764]), ("aluminium", [5.06, 3.18, 2.00, 1.26])],
)
def test_wire_resistance(material: str, printed: list[float]) -> None:
    # NEC chapter 9, Table 8, solid, 75 °C, Ω/kft (published, recomputed).
    found = conductors.wire_resistance_ohm_per_km([14, 12, 10, 8], material, 75)
    assert found * conductors.M_PER_KFT / 1000 == pytest.approx(printed, rel=5e-3)


def test_copper_resistance_from_its_definition() -> None:
    # d = 0.127·92^((36−n)/39) mm and ρ20 = 1/58: IEC 60028 (published, recomputed).
    found = conductors.wire_resistance_ohm_per_km([14, 12, 10, 8], "copper", 75)
    expected = [3.071, 1.932, 1.215, 0.764]
    assert found * conductors.M_PER_KFT / 1000 == pytest.approx(expected, abs=6e-4)


def test_resistance_grows_with_temperature() -> None:
    # IEC 60228 with IEC 60028 (published, recomputed): 20 to 70 °C, Ω/km.
    found = conductors.resistance_at_degc([12.1, 7.41], 70, "copper")
    assert found == pytest.approx([14.48, 8.87], abs=5e-3)
    assert conductors.TEMPERATURE_COEFFICIENT_20["aluminium"].value == 0.00403
    with pytest.raises(UsageError, match="no conductor material"):
        conductors.resistance_at_degc(1, 70, "silver")


def test_heat_balance_of_a_bare_conductor() -> None:
    # IEEE 738-2012, Annex B (published, recomputed): 28.12 mm, 1000 A, 40 °C, wind 0.61 m/s.
    # Gains 107.850 W/m, of which the sun 13.738; losses 107.849, of which convection 83.061.
    at_degc = 100.7
    low, high = 7.284e-5, 8.689e-5  # Ω/m at 25 and 75 °C
    resistance = np.interp(at_degc, [25, 75, 125], [low, high, 2 * high - low])
    convection = conductors.convection_w_per_m(at_degc, 40, 0.02812, 0.61)
    radiation = conductors.radiation_w_per_m(at_degc, 40, 0.02812, 0.5)
    assert 1000**2 * resistance + 13.738 == pytest.approx(107.850, abs=0.02)
    assert convection == pytest.approx(83.061, abs=0.1)
    assert convection + radiation == pytest.approx(107.849, abs=0.1)


def test_still_air_cools_both_ways() -> None:
    warm = conductors.convection_w_per_m(60, 20, 0.002)
    cold = conductors.convection_w_per_m(20, 60, 0.002)
    assert warm > 0
    assert cold == pytest.approx(-warm, rel=1e-12)
