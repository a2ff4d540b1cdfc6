"""Which devices carry a fault, of what kind, and how much resistance it adds."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from synthetic_data.fleet import ROWS, Bools, Fleet, Floats, Ints, second_pole
from synthetic_data.loads import Currents
from synthetic_data.physics import USED_SHARE, pole_ohm
from synthetic_data.spec import Scenario
from synthetic_data.visits import Visits

KINDS = ("healthy", "loose_connection", "device_fault")
MELTING_V = 0.43
"""Voltage at which a copper contact softens into a better one (Holm, Electric Contacts; from
memory): no contact drops more for long."""
REPAIRED_SHARE = 0.5
"""Faults that are gone when the panel is visited again [1]; chosen."""


@dataclass(frozen=True)
class Faulty:
    """Faults of the visits' poles [visit, 21, 2]: kind (index into KINDS), extra resistance."""

    kind: Ints
    body_ohm: Floats
    terminal_ohm: Floats


def rates(scenario: Scenario) -> Floats:
    """Return the share of devices with a fault in each quarter [quarter]."""
    result = np.full(len(scenario.quarters), scenario.faults.share)
    for rise in scenario.planted.fault_rises:
        result[scenario.quarter_index(rise.from_quarter, 0) :] *= rise.factor
    return result


def _visit_number(panel: Ints) -> Ints:
    """Return how often the panel had been visited before [visit]."""
    order = np.argsort(panel, kind="stable")
    ranked = panel[order]
    starts = np.flatnonzero(np.r_[True, ranked[1:] != ranked[:-1]])
    number = np.empty(len(panel), np.int64)
    number[order] = np.arange(len(panel)) - np.repeat(starts, np.diff(np.r_[starts, len(panel)]))
    return number


def _has_fault(scenario: Scenario, fleet: Fleet, visits: Visits, rng: np.random.Generator) -> Bools:
    chance = rng.random(fleet.poles.shape)[visits.panel]
    is_there = chance < rates(scenario)[visits.quarter][:, None, None]
    is_repaired = rng.random(fleet.poles.shape)[visits.panel] < REPAIRED_SHARE
    was_seen = (_visit_number(visits.panel) > 0)[:, None, None]
    return is_there & fleet.is_head[visits.panel] & ~(is_repaired & was_seen)


def _one_pole_only(values: Floats, fleet: Fleet, panel: Ints, is_second: Bools) -> Floats:
    """Put a device's fault on one pole: the first, or the second where `is_second` says so."""
    heads, poles = fleet.is_head[panel], fleet.poles[panel]
    everywhere, chosen = values.copy(), is_second & (poles == 2)
    second_pole(everywhere, heads, poles)
    second_pole(chosen, heads, poles)
    return np.where(heads != chosen, everywhere, 0.0) * fleet.is_pole[panel]


def plant(
    scenario: Scenario, fleet: Fleet, visits: Visits, loads: Currents, rng: np.random.Generator
) -> Faulty:
    """Put faults into the fleet; a device keeps its fault from visit to visit until repaired.

    A connection adds contact resistance at the terminal, smaller on larger terminals; a device
    fault multiplies the body's own. Both log-normal, from invisible to severe.
    """
    faults, shape, panel = scenario.faults, (len(fleet.slots), ROWS, 2), visits.panel
    is_connection = (rng.random(shape) < faults.connection_share)[panel]
    is_second = (rng.random(shape) < 0.5)[panel]
    contact = rng.lognormal(np.log(faults.contact_mohm / 1000.0), faults.contact_log_sd, shape)
    contact *= (15.0 / fleet.rated_a) ** 1.2
    body = rng.lognormal(np.log(faults.body_multiple), faults.body_log_sd, shape)
    body *= USED_SHARE * pole_ohm(fleet.rated_a.astype(float))
    has_fault = _has_fault(scenario, fleet, visits, rng)
    kind = np.where(has_fault, np.where(is_connection, 1, 2), 0).astype(np.int64)
    most_ohm = MELTING_V / np.maximum(loads.current_a, 1e-3)
    terminal = _one_pole_only(np.where(kind == 1, contact[panel], 0.0), fleet, panel, is_second)
    inner = _one_pole_only(np.where(kind == 2, body[panel], 0.0), fleet, panel, is_second)
    return Faulty(kind, np.minimum(inner, most_ohm), np.minimum(terminal, most_ohm))
