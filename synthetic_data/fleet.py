"""The invented panels: their slots, the devices in them, their wires.

Pole arrays are [panel, 21, 2]: row 0 holds the two poles of the main, rows 1–20 the slots of the
odd (left, side 0) and even (right, side 1) column, so that row r, side s is slot 2 r − 1 + s.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from synthetic_data.spec import MOST_SLOTS, Scenario

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

ROWS = MOST_SLOTS // 2 + 1
EMPTY = -1
CLASSES = (
    "standard",
    "main",
    "afci",
    "gfci",
    "dual_function",
    "surge_protector",
    "energy_monitor",
    "other_electronic",
)
ONE_POLE = (0.6, 0.0, 0.16, 0.06, 0.13, 0.0, 0.01, 0.04)
"""Shares of the classes among one-pole devices [1]; chosen."""
TWO_POLE = (0.78, 0.0, 0.0, 0.1, 0.0, 0.07, 0.03, 0.02)
"""Shares of the classes among two-pole devices [1]; chosen."""
OWN_DRAW_W = (0.0, 0.0, 0.9, 0.6, 1.2, 0.8, 1.5, 0.8)
"""Own draw of a class [W]; chosen in 0.3–2 W: about 0.5 W and more is common practice, no
published source."""
ONE_POLE_RATINGS = ((15, 0.5), (20, 0.46), (30, 0.04))
TWO_POLE_RATINGS = ((15, 0.05), (20, 0.15), (30, 0.34), (40, 0.2), (50, 0.19), (60, 0.07))
MAINS = (100, 125, 150, 200)
LOCATIONS = ("basement", "garage", "utility", "outdoor", "attic", "other")
LOCATION_SHARES = (0.38, 0.24, 0.2, 0.1, 0.03, 0.05)
COPPER_AWG = {15: "14", 20: "12", 30: "10", 40: "8", 50: "6", 60: "4"}
"""Wire that carries the rating by NEC 2023 Table 310.16, 60 °C column, and 240.4(D)."""
MAIN_AWG = {100: "1/0", 125: "2/0", 150: "4/0", 200: "250"}
"""Aluminium that carries the main by NEC 2023 Table 310.16, 75 °C column."""


@dataclass(frozen=True)
class Fleet:
    """All panels; pole arrays [panel, 21, 2], panel arrays [panel]."""

    slots: Ints
    location: Ints
    rated_panel_a: Ints
    device_class: Ints  # EMPTY where no device sits
    is_head: Bools  # the first pole of a device
    poles: Ints
    rated_a: Ints
    make: Ints
    awg: NDArray[np.str_]
    is_aluminium: Bools
    heat: Floats  # resistance as a multiple of the usual
    draw_w: Floats
    film: Floats  # [panel] how freely the panel sheds heat, 1 is usual

    @property
    def is_pole(self) -> Bools:
        """Where a pole sits."""
        result: Bools = self.device_class != EMPTY
        return result


def _heads(slots: Ints, rng: np.random.Generator) -> tuple[Bools, Ints]:
    """Fill both columns top down; return where devices begin and their poles, 0 in blanks."""
    count = len(slots)
    is_head, poles = np.zeros((count, ROWS, 2), bool), np.zeros((count, ROWS, 2), np.int64)
    is_head[:, 0, 0], poles[:, 0, :] = True, 2
    used = np.quantile(rng.beta(5, 2, (count, 64)), 0.5, axis=1)  # filled share of a panel
    for row in range(1, ROWS):
        inside = row <= (slots // 2)[:, None]
        is_free = (poles[:, row] == 0) & inside
        is_lower = row > (slots * (0.55 + 0.45 * used) / 2)[:, None]
        is_blank = rng.random((count, 2)) < np.where(is_lower, 0.24, 0.02)
        begins = is_free & ~is_blank
        has_room = row + 1 <= (slots // 2)[:, None]
        is_two = begins & has_room & (rng.random((count, 2)) < 0.16)
        is_head[:, row] = begins
        poles[:, row] = np.where(begins, np.where(is_two, 2, 1), poles[:, row])
        if row + 1 < ROWS:
            poles[:, row + 1] = np.where(is_two, 2, 0)
    return is_head, poles


def second_pole(values: NDArray[np.generic], is_head: Bools, poles: Ints) -> None:
    """Copy each two-pole device's values from its first pole to its second, in place."""
    values[:, 0, 1] = values[:, 0, 0]
    panel, row, side = np.nonzero(is_head[:, 1:] & (poles[:, 1:] == 2))
    values[panel, row + 2, side] = values[panel, row + 1, side]


def _pick(
    table: tuple[tuple[int, float], ...], shape: tuple[int, ...], rng: np.random.Generator
) -> Ints:
    values, shares = zip(*table, strict=True)
    return rng.choice(np.array(values), shape, p=np.array(shares) / sum(shares)).astype(np.int64)


def _classes(is_head: Bools, poles: Ints, rng: np.random.Generator) -> Ints:
    shape = poles.shape
    one = rng.choice(len(CLASSES), shape, p=ONE_POLE)
    two = rng.choice(len(CLASSES), shape, p=TWO_POLE)
    chosen = np.where(poles == 2, two, one)
    chosen[:, 0, :] = CLASSES.index("main")
    result: Ints = np.where(poles > 0, chosen, EMPTY).astype(np.int64)
    second_pole(result, is_head, poles)
    return result


def _ratings(poles: Ints, rated_panel_a: Ints, rng: np.random.Generator) -> Ints:
    one, two = (_pick(t, poles.shape, rng) for t in (ONE_POLE_RATINGS, TWO_POLE_RATINGS))
    rated = np.where(poles == 2, two, one)
    rated[:, 0, :] = rated_panel_a[:, None]
    return rated


def _wires(rated: Ints, rng: np.random.Generator) -> NDArray[np.str_]:
    awg = np.full(rated.shape, "14", "<U4")
    for rating, size in (COPPER_AWG | MAIN_AWG).items():
        awg[rated == rating] = size
    is_thick = (rated == 15) & (rng.random(rated.shape) < 0.12)
    awg[is_thick] = "12"
    return awg


def _makes(scenario: Scenario, quarter: Ints, rng: np.random.Generator) -> Ints:
    """Return each panel's make; a late make is only met from its quarter on."""
    starts = np.array([scenario.quarter_index(m.from_quarter, 0) for m in scenario.makes])
    shares = np.array([m.share for m in scenario.makes])
    weight = np.where(quarter[:, None] >= starts, shares, 0.0)
    edges = np.cumsum(weight, axis=1) / weight.sum(axis=1, keepdims=True)
    chosen: Ints = np.sum(rng.random((len(quarter), 1)) > edges, axis=1).astype(np.int64)
    return chosen


def _mixed_makes(panel_make: Ints, shape: tuple[int, ...], rng: np.random.Generator) -> Ints:
    """Return each device's make: the panel's own, now and then that of a panel met earlier."""
    panel = np.arange(len(panel_make))[:, None, None]
    other = panel_make[np.maximum(panel - rng.integers(0, 60, shape), 0)]
    return np.where(rng.random(shape) < 0.06, other, panel_make[:, None, None])


def build(scenario: Scenario, quarter: Ints, rng: np.random.Generator) -> Fleet:
    """Invent one panel for each entry of `quarter`, the quarter in which it is first visited.

    Args: quarter, index into the scenario's quarters [panel], ascending. Returns the fleet.
    """
    count = len(quarter)
    weights = np.array(scenario.slot_weights) / sum(scenario.slot_weights)
    slots = rng.choice(np.array(scenario.slots), count, p=weights).astype(np.int64)
    size = np.clip(np.digitize(slots, (14, 18, 26)) + rng.integers(-1, 2, count), 0, 3)
    rated_panel_a = np.array(MAINS)[size]
    is_head, poles = _heads(slots, rng)
    shape = poles.shape
    rated_a = _ratings(poles, rated_panel_a, rng)
    make = _mixed_makes(_makes(scenario, quarter, rng), shape, rng)
    device_class = _classes(is_head, poles, rng)
    heat = np.array([m.heat for m in scenario.makes])[make] * rng.lognormal(0.0, 0.09, shape)
    draw = np.array(OWN_DRAW_W)[device_class] * np.array([m.draw for m in scenario.makes])[make]
    draw_w = (
        np.clip(draw * rng.lognormal(0.0, 0.18, shape), 0.3, 2.0)
        * ((draw > 0) & (poles > 0))
        / np.maximum(poles, 1)
    )
    awg = _wires(rated_a, rng)
    for values in (rated_a, make, heat, draw_w, awg):
        second_pole(values, is_head, poles)
    location = rng.choice(len(LOCATIONS), count, p=LOCATION_SHARES).astype(np.int64)
    is_aluminium = np.zeros(shape, bool)
    is_aluminium[:, 0, :] = True
    film = rng.lognormal(0.0, 0.05, count)
    return Fleet(
        slots, location, rated_panel_a, device_class, is_head, poles, rated_a, make, awg,
        is_aluminium, heat, draw_w, film,
    )  # fmt: skip
