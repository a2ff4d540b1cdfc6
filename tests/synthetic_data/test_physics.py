"""The generator's heat balance against handbooks, standards and the balance itself."""

from dataclasses import replace

import numpy as np
import pytest

from synthetic_data import load, physics
from synthetic_data.moment import circuit_of, lagged
from synthetic_data.world import world

MOHM_AND_RATING = ((30.0, 10), (13.7, 16), (7.2, 25), (5.86, 32), (4.69, 40), (3.6, 50))


@pytest.fixture(scope="module")
def small_world():
    return world(load("small"), 3)


@pytest.fixture(scope="module")
def circuit(small_world):
    at = small_world
    amps = at.currents.current_a
    return circuit_of(at.fleet, at.visits.panel, amps, at.faulty, at.air.true_degc)


def lone_breaker(current_a: float, draw_w: float = 0.0) -> physics.Circuit:
    """One 15 A pole on 14 AWG copper, alone in slot 1 of a panel of 12 slots."""
    shape = (1, 21, 2)
    only = np.zeros(shape)
    only[0, 1, 0] = 1.0
    return physics.Circuit(
        is_pole=only > 0,
        rated_a=np.full(shape, 15.0),
        heat=np.ones(shape),
        draw_w=draw_w * only,
        wire_m=np.full(shape, physics.wire_diameter_m("14")),
        is_aluminium=np.zeros(shape, bool),
        current_a=current_a * only,
        fault_body_ohm=np.zeros(shape),
        fault_terminal_ohm=np.zeros(shape),
        slots=np.array([12.0]),
        film=np.ones(1),
        ambient_degc=np.array([20.0]),
    )


def face_k(circuit: physics.Circuit) -> float:
    return float(physics.solve(circuit).face_k[0, 1, 0])


def test_horizontal_cylinder_film():
    """Laminar natural convection, handbook form h = 1.32 (dT/D)^1/4, worked figure."""
    h = physics.cylinder_film(np.array([50.0]), np.array([0.08]))
    assert h[0] == pytest.approx(6.60, abs=0.005)


def test_vertical_plate_film():
    """Laminar natural convection, handbook form h = 1.42 (dT/L)^1/4, in metres."""
    at = physics.vertical_film(np.array([16.0, -16.0, 0.0]), 1.0)
    assert at == pytest.approx([2.84, 2.84, 0.0])
    assert physics.vertical_film(np.array([20.0]), 0.05)[0] == pytest.approx(6.350, abs=0.001)


def test_radiation_film_at_room_temperature():
    """ISO 6946 annex: 4 sigma T^3 at 20 °C is 5.7 W/m2K (5.71 with CODATA's sigma)."""
    assert physics.radiation_film(np.array([293.15]))[0] == pytest.approx(5.71, abs=0.005)


@pytest.mark.parametrize(("most_mohm", "rating_a"), MOHM_AND_RATING)
def test_pole_resistance_stays_within_the_power_loss(most_mohm, rating_a):
    """IEC 60898-1, power-loss table (from memory): R = P/In^2 at each step's upper edge."""
    ohm = float(physics.pole_ohm(np.array([float(rating_a)]))[0])
    assert 1000.0 * ohm == pytest.approx(most_mohm, rel=0.003)
    assert physics.USED_SHARE < 1.0


def test_copper_by_iec_60028():
    """IEC 60028: 1/58 ohm mm2/m and 0.00393/K at 20 °C; IEC 60228: 12.1 -> 14.48 ohm/km at 70."""
    assert physics.COPPER_PER_K == 0.00393
    assert pytest.approx(1.0 / 58.0) == physics.COPPER_OHM_M * 1e6
    assert pytest.approx(14.48, abs=0.005) == 12.1 * (1.0 + physics.COPPER_PER_K * 50.0)


@pytest.mark.parametrize(
    ("awg", "ohm_kft"), [("14", 3.07), ("12", 1.93), ("10", 1.21), ("8", 0.764)]
)
def test_wire_resistance_at_75_degc(awg, ohm_kft):
    """NEC chapter 9 Table 8, solid copper at 75 °C, from diameter and resistivity."""
    area = np.pi * physics.wire_diameter_m(awg) ** 2 / 4.0
    per_m = physics.COPPER_OHM_M / area * (1.0 + physics.COPPER_PER_K * 55.0)
    assert per_m * 304.8 == pytest.approx(ohm_kft, rel=0.005)


def test_large_wires_have_their_diameter():
    """ASTM B258: 4/0 is 11.684 mm; 250 kcmil is half an inch across as a solid round."""
    assert physics.wire_diameter_m("4/0") == pytest.approx(11.684e-3, rel=1e-4)
    assert physics.wire_diameter_m("250") == pytest.approx(12.7e-3, rel=1e-4)


def test_the_balance_closes(circuit):
    """First law: what is turned into heat leaves over faces and enclosure."""
    steady = physics.solve(circuit)
    assert steady.heat_in_w.min() > 1.0
    assert steady.heat_out_w == pytest.approx(steady.heat_in_w, rel=1e-6)


def test_no_heat_no_rise(circuit):
    nil = np.zeros_like(circuit.current_a)
    cold = physics.solve(replace(circuit, current_a=nil, draw_w=nil))
    assert np.max(np.abs(cold.face_k)) < 1e-3
    assert np.max(np.abs(cold.air_k)) < 1e-3


def test_exponent_lies_between_the_bounds_of_a_heat_balance():
    """Constant film 2, laminar convection 1.6, turbulent 1.5; copper's coefficient adds some."""
    exponent = np.log(face_k(lone_breaker(15.0)) / face_k(lone_breaker(7.5))) / np.log(2.0)
    assert 1.6 < exponent < 2.1


def test_a_loaded_breaker_is_about_as_warm_as_in_practice():
    """Body about 30 K over ambient at rated load (common practice, no published source)."""
    assert 20.0 < face_k(lone_breaker(15.0)) < 40.0


def test_electronics_are_warm_with_no_load():
    """Up to 22 K over cold neighbours was called normal (common practice, no published source)."""
    assert 3.0 < face_k(lone_breaker(0.0, draw_w=0.5)) < 23.0


def test_heat_spreads_to_the_slots_beside():
    three = lone_breaker(0.0, draw_w=2.0)
    is_pole = three.is_pole.copy()
    is_pole[0, 1:4, :] = True
    faces = physics.solve(replace(three, is_pole=is_pole)).face_k[0]
    assert faces[1, 0] > faces[2, 0] > faces[3, 0] > 0.0
    assert faces[1, 0] > faces[1, 1] > faces[3, 1]


def test_a_loose_terminal_is_hottest_at_the_terminal_and_cools_along_the_wire():
    good = lone_breaker(12.0)
    bad = physics.solve(replace(good, fault_terminal_ohm=0.02 * good.is_pole))
    well = physics.solve(good)
    terminal, face, wire = (
        float((b - w)[0, 1, 0])
        for b, w in (
            (bad.terminal_k, well.terminal_k),
            (bad.face_k, well.face_k),
            (bad.wire_k, well.wire_k),
        )
    )
    assert terminal > face > 0.0
    assert terminal > wire > 0.0


def test_first_order_warm_up():
    """One time constant is 63.2 % of the way, two 86.5 %, three 95.0 % (first-order model)."""
    cold, hot = (physics.solve(lone_breaker(a)) for a in (0.0, 15.0))
    tau = np.full((1, 21, 2), 20.0)
    for times, share in ((1, 0.632), (2, 0.865), (3, 0.950)):
        at = lagged(cold, hot, np.array([20.0 * times]), tau).face_k[0, 1, 0]
        assert at / hot.face_k[0, 1, 0] == pytest.approx(share, abs=0.0005)


def test_an_unsolved_balance_is_an_error(circuit, monkeypatch):
    monkeypatch.setattr(physics, "MOST_PASSES", 2)
    with pytest.raises(ArithmeticError, match="did not close"):
        physics.solve(circuit)
