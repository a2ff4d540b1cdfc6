"""The temperatures at the moment of the scan, and what they would be without the faults."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from synthetic_data.faults import Faulty
from synthetic_data.fleet import Bools, Fleet, Floats, Ints, second_pole
from synthetic_data.loads import Currents
from synthetic_data.physics import Circuit, Steady, solve, wire_diameter_m
from synthetic_data.visits import Visits

FACE_MIN, TERMINAL_SHARE, WIRE_SHARE = (16.0, 25.0), 0.7, 0.17
"""Time constants: body 16–25 min (first-order model), terminal and wire as shares; chosen."""


@dataclass(frozen=True)
class Temperatures:
    """Rises over ambient [visit, 21, 2] in [K]."""

    face_k: Floats
    terminal_k: Floats
    wire_k: Floats


@dataclass(frozen=True)
class Rises:
    """Rises as they are, without any fault, and for each device without its own fault."""

    full: Temperatures
    healed: Temperatures
    without_own: Temperatures


@dataclass(frozen=True)
class Scan:
    """What decides the rises at a scan: the loads after and before, the wait [visit], the lag."""

    after: Circuit
    before: Circuit
    minutes: Floats
    tau_min: Floats


def circuit_of(
    built: Fleet, panel: Ints, current_a: Floats, faulty: Faulty, air_degc: Floats
) -> Circuit:
    """Return the heat balance's input for these visits."""
    sizes, at = np.unique(built.awg, return_inverse=True)
    wire_m = np.array([wire_diameter_m(str(s)) for s in sizes])[at].reshape(built.awg.shape)
    return Circuit(
        is_pole=built.is_pole[panel],
        rated_a=built.rated_a[panel].astype(float),
        heat=built.heat[panel],
        draw_w=built.draw_w[panel],
        wire_m=wire_m[panel],
        is_aluminium=built.is_aluminium[panel],
        current_a=current_a,
        fault_body_ohm=faulty.body_ohm,
        fault_terminal_ohm=faulty.terminal_ohm,
        slots=built.slots[panel].astype(float),
        film=built.film[panel],
        ambient_degc=air_degc,
    )


def lagged(before: Steady, after: Steady, minutes: Floats, tau_min: Floats) -> Temperatures:
    """Return the rises on their way from one balance to the other, by a first-order lag.

    The heat balance is nonlinear, so the path between the two is an approximation.
    """

    def at(old: Floats, new: Floats, share: float) -> Floats:
        return new + (old - new) * np.exp(-minutes[:, None, None] / (tau_min * share))

    return Temperatures(
        at(before.face_k, after.face_k, 1.0),
        at(before.terminal_k, after.terminal_k, TERMINAL_SHARE),
        at(before.wire_k, after.wire_k, WIRE_SHARE),
    )


def _solve(scan: Scan) -> Temperatures:
    return lagged(solve(scan.before), solve(scan.after), scan.minutes, scan.tau_min)


def _rows(circuit: Circuit, rows: Bools) -> Circuit:
    return Circuit(**{name: values[rows] for name, values in vars(circuit).items()})


def _healed(circuit: Circuit, where: Bools) -> Circuit:
    body = np.where(where, 0.0, circuit.fault_body_ohm)
    terminal = np.where(where, 0.0, circuit.fault_terminal_ohm)
    return replace(circuit, fault_body_ohm=body, fault_terminal_ohm=terminal)


def _solve_without(scan: Scan, where: Bools, rows: Bools) -> Temperatures:
    """Return the rises of these visits [row, 21, 2] had the poles at `where` no fault."""
    circuits = [_healed(_rows(c, rows), where[rows]) for c in (scan.after, scan.before)]
    return _solve(Scan(circuits[0], circuits[1], scan.minutes[rows], scan.tau_min[rows]))


def _patched(onto: Temperatures, part: Temperatures, rows: Bools, where: Bools) -> Temperatures:
    """Return `onto` with the poles at `where` taken from `part`, which holds only `rows`."""
    result = {}
    for name, values in vars(onto).items():
        result[name] = values.copy()
        result[name][rows] = np.where(where[rows], getattr(part, name), values[rows])
    return Temperatures(**result)


def _fault_numbers(built: Fleet, panel: Ints, kind: Ints) -> Ints:
    """Return the faulty devices of each visit numbered 1, 2, …; 0 where there is none."""
    is_faulty = kind > 0
    flat = is_faulty.reshape(len(kind), -1)
    number = (np.cumsum(flat, axis=1) * flat).reshape(kind.shape).astype(np.int64)
    second_pole(number, built.is_head[panel], built.poles[panel])
    return number


def _without_each(scan: Scan, number: Ints) -> Rises:
    full = _solve(scan)
    everywhere, most = np.ones(number.shape, bool), number.max(axis=(1, 2))
    if not most.any():
        return Rises(full, full, full)
    part = _solve_without(scan, everywhere, most > 0)
    healed = _patched(full, part, most > 0, everywhere)
    own = _patched(full, part, most > 0, number > 0)
    for n in range(1, int(most.max()) + 1):
        rows = (most >= n) & (most > 1)
        if rows.any():
            own = _patched(own, _solve_without(scan, number == n, rows), rows, number == n)
    return Rises(full, healed, own)


def rises(
    built: Fleet, visits: Visits, currents: Currents, faulty: Faulty, air_degc: Floats,
    rng: np.random.Generator,
) -> Rises:  # fmt: skip
    """Solve the temperatures at each visit: with the faults, without, without a device's own.

    Args: air_degc, true air before the panel [visit] in [°C].
    """
    panel = visits.panel
    tau = rng.uniform(*FACE_MIN, built.poles.shape)
    second_pole(tau, built.is_head, built.poles)
    after = circuit_of(built, panel, currents.current_a, faulty, air_degc)
    before = replace(after, current_a=currents.before_a)
    scan = Scan(after, before, visits.minutes, tau[panel])
    return _without_each(scan, _fault_numbers(built, panel, faulty.kind))
