"""Lumped transient heat network of many panels at once: nodes, flows, explicit time steps.

Every pole is three nodes (body with its face, termination, a hand's breadth of wire); a panel adds
its bus, inside air and enclosure. Arrays are [pole slot, panel]; slot 0 and `SECOND_MAIN` are the
two poles of the main, 1..42 the stamped slots. Temperatures are kept as excess over the room [K].
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
SLOTS = 42
SECOND_MAIN = SLOTS + 1
POLES = SLOTS + 2
STEP_S = 20.0
COPPER_PER_K = 0.00393  # IEC 60028
BIMETAL_PER_K = 0.0012  # chosen: between resistance alloys (~0) and copper
REFERENCE_DEGC = 20.0
CONTACT_LIMIT_V = 0.43  # melting voltage of a copper contact (Holm, from memory): it welds there


@dataclass(frozen=True)
class Network:
    """Capacities [J/K], resistances [ohm], conductances [W/K] and powers [W] of all panels."""

    body_j: Array
    term_j: Array
    wire_j: Array
    body_ohm: Array
    term_ohm: Array
    wire_ohm: Array
    fault_body_ohm: Array
    fault_term_ohm: Array
    draw_w: Array
    body_term: Array
    term_wire: Array
    body_bus: Array
    vertical: Array  # [40, panel] slot n to slot n + 2
    across: Array  # [21, panel] slot n (odd) to slot n + 1
    main_pair: Array
    main_slots: Array
    face_linear: Array  # radiation to the room
    face_power: Array  # W/K^1.25
    body_air: Array
    body_air_power: Array  # W/K^1.25
    term_air: Array
    wire_air: Array
    bus_j: Array
    bus_ohm: Array
    bus_air: Array
    air_j: Array
    air_enclosure: Array
    leak_closed: Array
    leak_open: Array
    enclosure_j: Array
    enclosure_linear: Array
    enclosure_power: Array  # W/K^1.25
    enclosure_wall: Array
    wall_k: Array
    sun_w: Array
    room_degc: Array

    def panels(self, which: Any) -> Network:
        """Return the same network for the panels that `which` selects."""
        return _select(self, which)

    def without_faults(self) -> Network:
        """Return the same network with every fault resistance set to nothing."""
        none = np.zeros_like(self.fault_body_ohm)
        return replace(self, fault_body_ohm=none, fault_term_ohm=none)


@dataclass(frozen=True)
class Schedule:
    """Pole currents [A] before and after the loads came on, and when that was [min]."""

    before_a: Array
    now_a: Array
    on_minutes: Array
    duty: Array  # share of a period the load draws current; 1 is steady
    period_min: Array
    open_minutes: Array  # [panel] minutes since the cover came off

    def panels(self, which: Any) -> Schedule:
        """Return the same schedule for the panels that `which` selects."""
        return _select(self, which)

    def current_a(self, minutes_to_scan: float) -> Array:
        """Return the pole currents [A] so many minutes before the scan."""
        is_on = self.on_minutes >= minutes_to_scan
        amps = np.where(is_on, self.now_a, self.before_a)
        if (self.duty < 1.0).any():
            phase = np.mod(minutes_to_scan / self.period_min, 1.0)
            amps = np.where(phase <= self.duty, amps, 0.05 * amps)
        return amps

    def mean_before_a(self) -> Array:
        """Return the thermally equal steady currents [A] before the loads came on."""
        return self.before_a * np.sqrt(self.duty)


@dataclass(frozen=True)
class State:
    """Excess temperatures over the room [K]."""

    body: Array
    term: Array
    wire: Array
    bus: Array
    air: Array
    enclosure: Array


@dataclass(frozen=True)
class Ledger:
    """Heat [J] a panel took in, gave away and stored since the start."""

    taken_j: Array
    given_j: Array
    stored_j: Array


def _select(record: Any, which: Any) -> Any:
    parts = {field.name: getattr(record, field.name)[..., which] for field in fields(record)}
    return type(record)(**parts)


def cold_state(network: Network) -> State:
    """Return all nodes at room temperature."""
    poles, panel = np.zeros_like(network.body_j), np.zeros_like(network.bus_j)
    return State(poles, poles.copy(), poles.copy(), panel, panel.copy(), panel.copy())


def _fourth_root(excess_k: Array) -> Array:
    root: Array = np.sqrt(np.sqrt(np.abs(excess_k)))
    return root


def _joule_heat(net: Network, state: State, current_a: Array) -> tuple[Array, Array, Array, Array]:
    square = current_a * current_a
    above = net.room_degc - REFERENCE_DEGC
    warm_body = 1.0 + BIMETAL_PER_K * (state.body + above)
    warm_term = 1.0 + COPPER_PER_K * (state.term + above)
    bad_body = net.fault_body_ohm / (1.0 + current_a * net.fault_body_ohm / CONTACT_LIMIT_V)
    bad_term = net.fault_term_ohm / (1.0 + current_a * net.fault_term_ohm / CONTACT_LIMIT_V)
    body = square * (net.body_ohm + bad_body) * warm_body + net.draw_w
    term = square * (net.term_ohm + bad_term) * warm_term
    wire = square * net.wire_ohm * (1.0 + COPPER_PER_K * (state.wire + above))
    mains = current_a[0] ** 2 + current_a[SECOND_MAIN] ** 2
    return body, term, wire, mains * net.bus_ohm


def _exchange_bodies(net: Network, body: Array, into: Array) -> None:
    """Add to `into` the heat [W] that bodies hand to the bodies they touch."""
    flow = net.vertical * (body[3 : SLOTS + 1] - body[1 : SLOTS - 1])
    into[1 : SLOTS - 1] += flow
    into[3 : SLOTS + 1] -= flow
    flow = net.across * (body[2 : SLOTS + 1 : 2] - body[1:SLOTS:2])
    into[1:SLOTS:2] += flow
    into[2 : SLOTS + 1 : 2] -= flow
    for near, far, g in (
        (0, SECOND_MAIN, net.main_pair),
        (0, 1, net.main_slots),
        (SECOND_MAIN, 2, net.main_slots),
    ):
        heat = g * (body[far] - body[near])
        into[near] += heat
        into[far] -= heat


def _shell_loss(net: Network, enclosure: Array) -> Array:
    """Return what the enclosure gives to room and wall [W]."""
    to_room = net.enclosure_linear + net.enclosure_power * _fourth_root(enclosure)
    return enclosure * to_room + net.enclosure_wall * (enclosure - net.wall_k)


def step(
    net: Network, state: State, current_a: Array, leak: Array, step_s: float = STEP_S
) -> tuple[State, Array, Array]:
    """Advance all panels by one explicit step.

    Args:
        net: the network.
        state: temperatures at the start of the step.
        current_a: pole currents [A], [slot, panel].
        leak: conductance from the inside air to the room [W/K], [panel].
        step_s: length of the step [s].

    Returns:
        The next state, and per panel the heat flow in and out [W].
    """
    body_w, term_w, wire_w, bus_w = _joule_heat(net, state, current_a)
    taken = body_w.sum(0) + term_w.sum(0) + wire_w.sum(0) + bus_w + net.sun_w
    to_term = net.body_term * (state.body - state.term)
    to_wire = net.term_wire * (state.term - state.wire)
    to_bus = net.body_bus * (state.body - state.bus)
    gap = state.body - state.air
    body_air = gap * (net.body_air + net.body_air_power * _fourth_root(gap))
    term_air = net.term_air * (state.term - state.air)
    wire_air = net.wire_air * (state.wire - state.air)
    bus_air = net.bus_air * (state.bus - state.air)
    face = state.body * (net.face_linear + net.face_power * _fourth_root(state.body))
    air_shell = net.air_enclosure * (state.air - state.enclosure)
    leaked, shell = leak * state.air, _shell_loss(net, state.enclosure)
    body_w -= to_term + to_bus + body_air + face
    _exchange_bodies(net, state.body, body_w)
    air_w = body_air.sum(0) + term_air.sum(0) + wire_air.sum(0) + bus_air - air_shell - leaked
    after = State(
        state.body + step_s * body_w / net.body_j,
        state.term + step_s * (term_w + to_term - to_wire - term_air) / net.term_j,
        state.wire + step_s * (wire_w + to_wire - wire_air) / net.wire_j,
        state.bus + step_s * (bus_w + to_bus.sum(0) - bus_air) / net.bus_j,
        state.air + step_s * air_w / net.air_j,
        state.enclosure + step_s * (air_shell + net.sun_w - shell) / net.enclosure_j,
    )
    return after, taken, face.sum(0) + leaked + shell


def stored_j(net: Network, state: State) -> Array:
    """Return the heat [J] in a panel above room temperature."""
    poles: Array = (
        net.body_j * state.body + net.term_j * state.term + net.wire_j * state.wire
    ).sum(0)
    return poles + net.bus_j * state.bus + net.air_j * state.air + net.enclosure_j * state.enclosure


def settle(net: Network, current_a: Array, steps: int = 150, hurry: float = 6.0) -> State:
    """Return the state after hours at these currents, by steps with lightened slow nodes."""
    light = replace(
        net,
        body_j=net.body_j / hurry,
        bus_j=net.bus_j / hurry,
        enclosure_j=net.enclosure_j / hurry,
    )
    state = cold_state(net)
    for _ in range(steps):
        state, _, _ = step(light, state, current_a, net.leak_closed)
    return state


def run(net: Network, schedule: Schedule, start: State) -> tuple[State, Ledger]:
    """Advance from before the loads came on to the moment of the scan, with the heat ledger."""
    changed = schedule.on_minutes[schedule.before_a != schedule.now_a]
    cycling = schedule.duty < 1.0
    minutes = max(changed.max(initial=0.0), 60.0 if cycling.any() else 0.0, 5.0)
    steps = int(np.ceil(minutes * 60.0 / STEP_S))
    state, taken, given = start, np.zeros_like(net.bus_j), np.zeros_like(net.bus_j)
    for number in range(steps):
        to_scan = (steps - number) * STEP_S / 60.0
        leak = np.where(schedule.open_minutes >= to_scan, net.leak_open, net.leak_closed)
        state, heat_in, heat_out = step(net, state, schedule.current_a(to_scan), leak)
        taken += heat_in * STEP_S
        given += heat_out * STEP_S
    stored = stored_j(net, state) - stored_j(net, start)
    return state, Ledger(taken, given, stored)


def scan(net: Network, schedule: Schedule, chunk: int = 250) -> State:
    """Return the state at the scan, panels worked through in blocks that fit the cache."""
    blocks = []
    for first in range(0, net.bus_j.size, chunk):
        which = slice(first, first + chunk)
        part, loads = net.panels(which), schedule.panels(which)
        blocks.append(run(part, loads, settle(part, loads.mean_before_a()))[0])
    joined = (
        np.concatenate([getattr(block, field.name) for block in blocks], axis=-1)
        for field in fields(State)
    )
    return State(*joined)
