"""Invented panels, devices, circuits and loads for the transient network (all names made up)."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tests.guarantees.transient_parts import SECOND_MAIN, SLOTS, Array

Codes = NDArray[np.integer]
MAKES = ("quillbar", "norvask", "tolvane", "emberlay", "dunlith", "ysarne")
LOCATIONS = ("basement", "garage", "utility", "outdoor", "attic", "other")


class Circuit(NamedTuple):
    """What hangs on a breaker: chosen to look like dwellings, no published source."""

    name: str
    weight: float
    poles: int
    ratings: tuple[int, ...]
    low: float  # load fraction while running
    high: float
    idle: float  # share of visits at 0 to 0.5 A
    cycling: float  # share that switches by a thermostat
    classes: tuple[tuple[str, float], ...]


CIRCUITS = (
    Circuit("lighting", 0.22, 1, (15, 15, 15, 20), 0.03, 0.40, 0.45, 0, (("afci", 0.3),)),
    Circuit(
        "outlets",
        0.30,
        1,
        (15, 20),
        0.03,
        0.50,
        0.50,
        0,
        (("afci", 0.45), ("dual_function", 0.12), ("other_electronic", 0.08)),
    ),
    Circuit(
        "kitchen",
        0.13,
        1,
        (20,),
        0.30,
        0.85,
        0.35,
        0,
        (("gfci", 0.25), ("dual_function", 0.45)),
    ),
    Circuit("bath", 0.07, 1, (20,), 0.2, 0.75, 0.60, 0, (("gfci", 0.4), ("dual_function", 0.2))),
    Circuit(
        "appliance",
        0.13,
        1,
        (15, 20, 20),
        0.2,
        0.70,
        0.5,
        0.05,
        (("gfci", 0.15), ("dual_function", 0.2), ("other_electronic", 0.1)),
    ),
    Circuit("motor", 0.11, 1, (15, 20), 0.2, 0.55, 0.20, 0.3, (("afci", 0.15),)),
    Circuit("room_heater", 0.04, 1, (15, 20), 0.6, 0.98, 0.30, 0.1, (("gfci", 0.1),)),
    Circuit("range", 0.22, 2, (40, 50), 0.3, 0.80, 0.35, 0.15, (("gfci", 0.08),)),
    Circuit("dryer", 0.22, 2, (30,), 0.6, 0.85, 0.35, 0.3, (("gfci", 0.08),)),
    Circuit("water_heater", 0.14, 2, (25, 30, 30), 0.6, 0.80, 0.4, 0, ()),
    Circuit("cooling", 0.20, 2, (20, 30, 40, 50), 0.4, 0.75, 0.4, 0.3, (("gfci", 0.1),)),
    Circuit("vehicle", 0.08, 2, (40, 50, 60), 0.6, 0.82, 0.5, 0, (("gfci", 0.3),)),
    Circuit("wall_heater", 0.08, 2, (15, 20), 0.5, 0.95, 0.35, 0.1, ()),
    Circuit("feeder", 0.06, 2, (60, 70, 100), 0.15, 0.60, 0.1, 0, ()),
    Circuit("main", 0.0, 2, (100, 125, 150, 200), 0, 0, 0, 0, ()),
    Circuit("surge", 0.0, 2, (20, 30, 50), 0, 0, 1, 0, ()),
    Circuit("monitor", 0.0, 1, (15,), 0, 0, 1, 0, ()),
)
NAMES = [circuit.name for circuit in CIRCUITS]
MAIN, SURGE, MONITOR = NAMES.index("main"), NAMES.index("surge"), NAMES.index("monitor")
# rating [A] -> pole resistance [mohm], wire [mohm over 0.15 m], AWG, capacity of the wire [J/K]
RATINGS: dict[int, tuple[float, float, str, float]] = {
    15: (11.0, 1.25, "14", 2.4), 20: (7.6, 0.79, "12", 3.4), 25: (5.7, 0.50, "10", 5.0),
    30: (4.3, 0.50, "10", 5.0), 40: (2.7, 0.31, "8", 8.0), 50: (1.95, 0.20, "6", 12.0),
    60: (1.5, 0.20, "6", 12.0), 70: (1.2, 0.125, "4", 18.0), 100: (0.82, 0.10, "3", 23.0),
    125: (0.70, 0.062, "1", 36.0), 150: (0.55, 0.049, "1/0", 45.0), 200: (0.38, 0.031, "3/0", 70.0),
}  # fmt: skip


def draw_panels(rng: np.random.Generator, count: int) -> pd.DataFrame:
    """Return invented panels: slots, fill, place, age, dominant make."""
    sizes, odds = (8, 12, 16, 20, 24, 30, 40, 42), (0.05, 0.08, 0.1, 0.17, 0.18, 0.18, 0.16, 0.08)
    slots = rng.choice(sizes, count, p=odds)
    places = rng.choice(LOCATIONS, count, p=(0.38, 0.24, 0.18, 0.13, 0.03, 0.04))
    small = np.where(slots < 16, 0, np.where(slots < 30, 1, 2))
    rated = np.array([(100, 100, 125), (100, 150, 200), (200, 200, 200)])[
        small, rng.integers(0, 3, count)
    ]
    return pd.DataFrame(
        {
            "slots": slots,
            "fill": rng.uniform(0.68, 1.0, count),
            "panel_location": places,
            "modern": rng.beta(1.3, 1.1, count),
            "make": rng.choice(len(MAKES), count, p=(0.28, 0.23, 0.18, 0.14, 0.1, 0.07)),
            "panel_rated_a": rated,
        }
    )


def _occupy(rng: np.random.Generator, panels: pd.DataFrame) -> Array:
    """Return [slot, panel]: 0 empty, 1 one pole, 2 upper and 3 lower pole of a two-pole device."""
    count, slots = len(panels), panels["slots"].to_numpy()
    fill = panels["fill"].to_numpy()
    grid = np.zeros((SLOTS + 3, count))
    for slot in range(1, SLOTS + 1):
        free = (slot <= slots) & (grid[slot] == 0)
        filled = free & (rng.random(count) < fill)
        double = filled & (slot + 2 <= slots) & (rng.random(count) < 0.15)
        grid[slot, filled] = 1
        grid[slot, double] = 2
        grid[slot + 2, double] = 3
    return grid


def _choose_circuits(rng: np.random.Generator, poles: Array, panel: Codes) -> Codes:
    kind = np.zeros(poles.size, dtype=int)
    for number in (1, 2):
        rows = np.flatnonzero(poles == number)
        weight = np.array([c.weight if c.poles == number else 0.0 for c in CIRCUITS])
        kind[rows] = rng.choice(len(CIRCUITS), rows.size, p=weight / weight.sum())
    for number, special, share in ((2, SURGE, 0.32), (1, MONITOR, 0.25)):
        rows = rng.permutation(np.flatnonzero(poles == number))
        _, one_each = np.unique(panel[rows], return_index=True)
        one_each = rows[one_each]
        kind[one_each[rng.random(one_each.size) < share]] = special
    return kind


def _choose_classes(rng: np.random.Generator, kind: Codes, modern: Array) -> NDArray[np.object_]:
    classes = np.full(kind.size, "standard", dtype=object)
    for code, circuit in enumerate(CIRCUITS):
        rows = np.flatnonzero(kind == code)
        draw = rng.random(rows.size) / np.maximum(2.0 * modern[rows], 1e-9)
        edge = 0.0
        for name, share in circuit.classes:
            classes[rows[(draw >= edge) & (draw < edge + share)]] = name
            edge += share
    for code, name in ((MAIN, "main"), (SURGE, "surge_protector"), (MONITOR, "energy_monitor")):
        classes[kind == code] = name
    return classes


def draw_devices(rng: np.random.Generator, panels: pd.DataFrame) -> pd.DataFrame:
    """Return one row a device, its two pole slots, class, make, rating and unit scatter."""
    grid = _occupy(rng, panels)
    panel, slot = np.nonzero(((grid == 1) | (grid == 2)).T)
    poles = grid[slot, panel]
    kind = _choose_circuits(rng, poles, panel)
    second = np.where(poles == 2, slot + 2, slot)
    every = np.arange(len(panels))
    panel, slot = np.r_[every, panel], np.r_[np.zeros_like(every), slot]
    second, kind = np.r_[np.full_like(every, SECOND_MAIN), second], np.r_[every * 0 + MAIN, kind]
    own = panels["make"].to_numpy()[panel]
    stray = (rng.random(panel.size) < 0.12) & (slot > 0)
    rated = np.zeros(panel.size, dtype=int)
    for code, circuit in enumerate(CIRCUITS):
        rows = kind == code
        rated[rows] = rng.choice(circuit.ratings, int(rows.sum()))
    rated = np.where(kind == MAIN, panels["panel_rated_a"].to_numpy()[panel], rated)
    frame = pd.DataFrame(
        {
            "panel": panel,
            "first": slot,
            "second": second,
            "kind": kind,
            "device_class": _choose_classes(rng, kind, panels["modern"].to_numpy()[panel]),
            "make": np.where(stray, rng.integers(0, len(MAKES), panel.size), own),
            "rated_a": rated,
            "poles": np.where(second == slot, 1, 2),
        }
    )
    return frame.sort_values(["panel", "first"], ignore_index=True)


def add_scatter(rng: np.random.Generator, devices: pd.DataFrame) -> pd.DataFrame:
    """Add what differs from unit to unit: resistances, conductances, own draw of electronics."""
    rows = len(devices)
    classes = devices["device_class"].to_numpy()
    typical = {
        "afci": 0.75, "gfci": 0.5, "dual_function": 0.9, "surge_protector": 0.8,
        "energy_monitor": 1.2, "other_electronic": 0.7,
    }  # fmt: skip
    nominal = np.array([typical.get(name, 0.0) for name in classes])
    effects = np.exp(rng.normal(0, 0.35, (len(typical), len(MAKES))))
    order = {name: row for row, name in enumerate(typical)}
    effect = effects[[order.get(name, 0) for name in classes], devices["make"].to_numpy()]
    return devices.assign(
        draw_w=np.clip(nominal * effect, 0.3 * (nominal > 0), 2.0),
        u_draw=rng.normal(0, 0.08, rows),
        u_body=rng.normal(0, 0.07, rows),
        u_term=rng.normal(0, 0.35, rows),
        u_cool=rng.normal(0, 0.04, rows),
    )
