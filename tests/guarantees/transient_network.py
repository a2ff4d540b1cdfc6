"""From invented devices and visits to the conductances, capacities and resistances of their panels.

All values are chosen to look like moulded-case breakers of dwellings: 2.7 W a pole at full load
and about 30 K then, body time constant near 20 min, wire 2 to 5 min.
"""

from __future__ import annotations

import numpy as np
import pandas as pd

from tests.guarantees.transient_layout import RATINGS
from tests.guarantees.transient_parts import POLES, SLOTS, Array, Network


def build_network(devices: pd.DataFrame, visits: pd.DataFrame, makes: pd.DataFrame) -> Network:
    """Return the network of all visits; empty slots are thin blanks without heat.

    Args:
        devices: one row a device, with scatter, faults in multiples of its own resistance.
        visits: one row a panel visit: slots, room_degc, wall_k, sun_w, leak_open.
        makes: one row a make: body, cool, contact as factors [1].
    """
    make = makes.iloc[devices["make"].to_numpy()].reset_index(drop=True)
    table = np.array([(*RATINGS[r][:2], RATINGS[r][3]) for r in devices["rated_a"]])
    full_w = devices["rated_a"].to_numpy() ** 2 * table[:, 0] * 1e-3
    size = np.sqrt(full_w / 2.7)  # breadth of the pole, 1 for a 15 or 20 A breaker
    return Network(
        **_sources(devices, make, table, len(visits)),
        **_surfaces(devices, make, table, size, len(visits)),
        **_touching(devices, size, len(visits)),
        **_shells(visits),
    )


def _lay(devices: pd.DataFrame, values: Array | pd.Series, panels: int) -> Array:
    """Lay device values out as [slot, panel], the same on both poles."""
    grid = np.zeros((POLES, panels))
    panel = devices["panel"].to_numpy()
    grid[devices["first"].to_numpy(), panel] = values
    grid[devices["second"].to_numpy(), panel] = values
    return grid


def _one_pole(devices: pd.DataFrame, values: Array | pd.Series, panels: int) -> Array:
    """Lay fault resistances on one pole only: the lower where `fault_second` says so."""
    grid = np.zeros((POLES, panels))
    slot = np.where(devices["fault_second"], devices["second"], devices["first"])
    grid[slot, devices["panel"].to_numpy()] = values
    return grid


def _sources(
    devices: pd.DataFrame, make: pd.DataFrame, table: Array, panels: int
) -> dict[str, Array]:
    """Return resistances [ohm] and the own draw of electronics [W]."""
    body = 1e-3 * table[:, 0] * np.exp(devices["u_body"].to_numpy()) * make["body"].to_numpy()
    contact = 0.06 * table[:, 0] * 1e-3 * np.exp(devices["u_term"]) * make["contact"].to_numpy()
    draw = devices["draw_w"] * np.exp(devices["u_draw"]) / devices["poles"]
    return {
        "body_ohm": _lay(devices, body, panels),
        "term_ohm": _lay(devices, contact, panels),
        "wire_ohm": _lay(devices, 1e-3 * table[:, 1], panels),
        "fault_body_ohm": _one_pole(devices, devices["fault_body"] * body, panels),
        "fault_term_ohm": _one_pole(devices, devices["fault_term"] * body, panels),
        "draw_w": _lay(devices, draw, panels),
    }


def _surfaces(
    devices: pd.DataFrame, make: pd.DataFrame, table: Array, size: Array, panels: int
) -> dict[str, Array]:
    """Return capacities of the pole nodes and what they give to room and inside air."""
    breadth = _lay(devices, size, panels)
    factor = size * np.exp(devices["u_cool"].to_numpy()) * make["cool"].to_numpy()
    cool = _lay(devices, factor, panels)
    bulk = _lay(devices, size * np.where(devices["draw_w"] > 0, 1.25, 1.0), panels)
    wire = _lay(devices, table[:, 2], panels)
    return {
        "body_j": np.maximum(115.0 * bulk, 15.0),
        "term_j": np.maximum(9.0 * breadth, 2.0),
        "wire_j": np.maximum(wire, 2.0),
        "face_linear": 0.011 * cool,
        "face_power": 0.0055 * cool,
        "body_air": np.maximum(0.014 * cool, 0.01),
        "body_air_power": 0.007 * cool,
        "term_air": np.maximum(0.018 * cool, 0.002),  # with the first centimetres of wire as a fin
        "wire_air": np.maximum(wire / 220.0, 0.005),
    }


def _touching(devices: pd.DataFrame, size: Array, panels: int) -> dict[str, Array]:
    """Return the conductances [W/K] between nodes that touch."""
    breadth = _lay(devices, size, panels)
    present = _lay(devices, np.ones(len(devices)), panels)
    body = np.maximum(breadth, 0.15)
    same = np.zeros((POLES, panels), dtype=bool)
    twin = devices[(devices["poles"] == 2) & (devices["first"] > 0)]
    same[twin["first"].to_numpy(), twin["panel"].to_numpy()] = True
    upper, lower = slice(1, SLOTS - 1), slice(3, SLOTS + 1)
    left, right = slice(1, SLOTS, 2), slice(2, SLOTS + 1, 2)
    column = np.minimum(body[upper], body[lower]) * present[upper] * present[lower]
    row = np.minimum(body[left], body[right]) * present[left] * present[right]
    return {
        "body_term": 0.060 * breadth,
        "term_wire": 0.006 * breadth,  # 15 cm of wire, about 1.6 fin lengths away
        "body_bus": 0.022 * breadth,
        "vertical": np.where(same[upper], 0.15, 0.040) * column,
        "across": 0.014 * row,
        "main_pair": np.full(panels, 0.4),
        "main_slots": np.full(panels, 0.03),
    }


def _shells(visits: pd.DataFrame) -> dict[str, Array]:
    """Return bus, inside air and enclosure, and what surrounds them."""
    slots = visits["slots"].to_numpy(dtype=float)
    return {
        "bus_j": 60.0 + 9.0 * slots,
        "bus_ohm": np.full(slots.size, 4e-5),
        "bus_air": 0.1 + 0.012 * slots,
        "air_j": 60.0 + 9.0 * slots,
        "air_enclosure": 0.5 + 0.05 * slots,
        "leak_closed": np.full(slots.size, 0.15),
        "enclosure_j": 900.0 + 90.0 * slots,
        "enclosure_linear": 0.5 + 0.045 * slots,
        "enclosure_power": 0.15 + 0.015 * slots,
        "enclosure_wall": 0.3 + 0.03 * slots,
    } | {
        name: visits[name].to_numpy(dtype=float)
        for name in ("leak_open", "wall_k", "sun_w", "room_degc")
    }
