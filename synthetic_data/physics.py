"""Steady heat balance of many panels at once, solved as a vectorised fixed point.

Pole arrays are [panel, 21, 2] as in `fleet`; temperatures are excess over the room air [K]. Each
pole is a body with its face (to the room), a terminal and a wire that works as a fin; the panel
has one inside air. Sources stand at each function; areas and conductances are chosen so that a
body at rated load is about 30 K over ambient (common practice, no published source).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from synthetic_data.fleet import Bools, Floats

STEFAN_BOLTZMANN = 5.670374419e-8  # W/m2K4, CODATA 2018
COPPER_PER_K = 0.00393  # IEC 60028, at 20 °C
ALUMINIUM_PER_K = 0.00403  # IEC 60889, at 20 °C
COPPER_OHM_M = 1.0 / 58.0e6  # IEC 60028, at 20 °C
ALUMINIUM_OHM_M = 28.264e-9  # IEC 60889, at 20 °C
COPPER_W_MK, ALUMINIUM_W_MK = 395.0, 220.0  # handbook values
REFERENCE_DEGC = 20.0
KELVIN = 273.15
POWER_LOSS_W = (
    (10, 3.0), (16, 3.5), (25, 4.5), (32, 6.0), (40, 7.5), (50, 9.0), (63, 13.0), (100, 15.0),
    (125, 20.0), (200, 32.0),
)  # fmt: skip
"""Largest loss per pole [W] up to a rating [A]: IEC 60898-1 (from memory); 200 A extrapolated."""
USED_SHARE = 0.62
"""What a usual breaker loses, of the largest allowed [1]; chosen."""
EMISSIVITY = 0.92  # moulded case 0.90–0.95, from memory
FRONT_M2, SIDE_M2, TERMINAL_M2 = 0.0019, 0.0022, 0.0004
HEIGHT_M = 0.05
TO_TERMINAL_W_K, VERTICAL_W_K, ACROSS_W_K, MAIN_PAIR_W_K = 0.08, 0.03, 0.016, 0.15
LEAK_W_K = 0.9
"""Air exchange of a panel whose cover is off [W/K]; chosen."""
WIRE_IN_PANEL_M = 0.4
INSULATION_M = 0.0006
READ_AT_M = 0.1
"""Where the wire is read: a hand's breadth from the terminal [m]."""
MOST_PASSES = 400
TOLERANCE_K = 2e-7


@dataclass(frozen=True)
class Circuit:
    """What the balance is about: pole arrays [panel, 21, 2], nil in empty slots; panel arrays."""

    is_pole: Bools
    rated_a: Floats
    heat: Floats
    draw_w: Floats
    wire_m: Floats  # diameter of the bare wire
    is_aluminium: Bools
    current_a: Floats
    fault_body_ohm: Floats
    fault_terminal_ohm: Floats
    slots: Floats  # [panel]
    film: Floats  # [panel]
    ambient_degc: Floats  # [panel]


@dataclass(frozen=True)
class Steady:
    """The balance: face, terminal, wire [panel, 21, 2] over ambient [K]; heat in, out [panel]."""

    face_k: Floats
    terminal_k: Floats
    wire_k: Floats
    air_k: Floats
    heat_in_w: Floats
    heat_out_w: Floats
    passes: int


def vertical_film(difference_k: Floats, height_m: float) -> Floats:
    """Return the film coefficient [W/m2K] of a vertical surface in still air, 1.42 (dT/L)^1/4.

    Laminar natural convection, handbook form for air near room temperature; too low in a draught.
    """
    return 1.42 * np.sqrt(np.sqrt(np.abs(difference_k) / height_m))


def cylinder_film(difference_k: Floats, diameter_m: Floats) -> Floats:
    """Return the film coefficient [W/m2K] of a horizontal cylinder in still air, 1.32 (dT/D)^1/4.

    Laminar natural convection, handbook form; a wire hanging down sheds somewhat less.
    """
    return 1.32 * np.sqrt(np.sqrt(np.abs(difference_k) / diameter_m))


def radiation_film(mean_k: Floats) -> Floats:
    """Return the radiation coefficient [W/m2K] of black surfaces about `mean_k` [K], 4 sigma T^3.

    Linearised (ISO 6946 annex); good to a few percent up to differences of 80 K.
    """
    return 4.0 * STEFAN_BOLTZMANN * mean_k**3


def pole_ohm(rated_a: Floats) -> Floats:
    """Return the largest resistance of a pole [ohm]: power-loss limit over rating squared.

    IEC 60898-1, power-loss table (from memory); real breakers stay below.
    """
    ratings, watts = (np.array(c, float) for c in zip(*POWER_LOSS_W, strict=True))
    at = np.minimum(np.searchsorted(ratings, rated_a), len(ratings) - 1)
    result: Floats = watts[at] / ratings[at] ** 2
    return result


def wire_diameter_m(awg: str) -> float:
    """Return the diameter [m] of a wire of this size, AWG (14, 1/0) or kcmil (250).

    ASTM B258: 0.127 mm times 92^((36 − n)/39), n = 0, −1, −2, −3 for 1/0 … 4/0.
    """
    if "/" not in awg and int(awg) > 36:
        return float(np.sqrt(int(awg) * 1000.0)) * 25.4e-6
    gauge = 1 - int(awg.split("/")[0]) if "/" in awg else int(awg)
    return float(0.127e-3 * 92.0 ** ((36 - gauge) / 39))


@dataclass
class _Work:
    """The unknowns on their way to the balance, and the conductances of the last pass [W/K]."""

    face: Floats
    terminal: Floats
    wire: Floats  # the wire's own excess over the inside air, far from the terminal
    air: Floats  # [panel, 1, 1]
    flows: dict[str, Floats]


def _links(circuit: Circuit) -> dict[str, Floats]:
    """Return conductances that do not change from pass to pass [W/K]; nil where a slot is empty."""
    pole = circuit.is_pole.astype(float)
    down = VERTICAL_W_K * pole[:, 1:] * pole[:, :-1]
    across = ACROSS_W_K * pole[:, :, 0] * pole[:, :, 1]
    across[:, 0] = MAIN_PAIR_W_K
    above, below = np.zeros_like(pole), np.zeros_like(pole)
    above[:, 1:], below[:, :-1] = down, down
    size = np.clip(np.sqrt(circuit.rated_a / 20.0), 0.85, 3.2) * pole
    front = np.where(circuit.rated_a > 60, 2.5, 1.0) * FRONT_M2 * pole
    return {
        "above": above,
        "below": below,
        "across": np.repeat(across[:, :, None], 2, axis=2),
        "size": size,
        "front_m2": front,
        "to_terminal": TO_TERMINAL_W_K * size,
        "pole": pole,
    }


def _wire(circuit: Circuit) -> dict[str, Floats]:
    """Return the wires' conduction [W m/K], resistance [ohm/m] and outer diameter [m]."""
    area = np.pi * circuit.wire_m**2 / 4.0
    is_al = circuit.is_aluminium
    outer = circuit.wire_m + 2.0 * INSULATION_M
    return {
        "conduct": np.where(is_al, ALUMINIUM_W_MK, COPPER_W_MK) * area,
        "ohm_m": np.where(is_al, ALUMINIUM_OHM_M, COPPER_OHM_M) / area,
        "per_k": np.where(is_al, ALUMINIUM_PER_K, COPPER_PER_K),
        "outer": outer,
    }


def _neighbours(face: Floats, links: dict[str, Floats]) -> Floats:
    """Return the heat that the bodies above, below and across send in, were the body at nil [W]."""
    heat = links["across"] * face[:, :, ::-1]
    heat[:, 1:] += links["above"][:, 1:] * face[:, :-1]
    heat[:, :-1] += links["below"][:, :-1] * face[:, 1:]
    return heat


def _film(difference: Floats, base_k: Floats, height_m: float) -> Floats:
    return vertical_film(difference, height_m) + EMISSIVITY * radiation_film(
        base_k + difference / 2.0
    )


def _sources(circuit: Circuit, work: _Work, wire: dict[str, Floats]) -> None:
    """Set the heat of body, terminal and wire from the temperatures of the last pass [W], [W/m].

    Joule heat, copper's temperature coefficient 0.00393/K (IEC 60028) for the whole pole.
    """
    room = circuit.ambient_degc[:, None, None] - REFERENCE_DEGC
    square = circuit.current_a**2
    healthy = USED_SHARE * circuit.heat * pole_ohm(circuit.rated_a)
    at_body = 1.0 + COPPER_PER_K * (room + work.face)
    body_ohm = 0.85 * healthy * at_body + circuit.fault_body_ohm
    terminal_ohm = 0.15 * healthy * (1.0 + COPPER_PER_K * (room + work.terminal))
    hot = 1.0 + wire["per_k"] * (room + work.air + work.wire)
    work.flows["body_w"] = square * body_ohm + circuit.draw_w
    work.flows["terminal_w"] = square * (terminal_ohm + circuit.fault_terminal_ohm)
    work.flows["wire_w_m"] = square * wire["ohm_m"] * hot


def _conductances(
    circuit: Circuit, work: _Work, links: dict[str, Floats], wire: dict[str, Floats]
) -> None:
    """Set the film and fin conductances from the temperatures of the last pass [W/K]."""
    room_k = circuit.ambient_degc[:, None, None] + KELVIN
    inside_k = room_k + work.air
    pole = links["pole"]
    flows = work.flows
    film = circuit.film[:, None, None]
    flows["front"] = film * links["front_m2"] * _film(work.face, room_k, HEIGHT_M)
    side = _film(work.face - work.air, inside_k, HEIGHT_M)
    flows["side"] = SIDE_M2 * links["size"] * side
    flows["skin"] = TERMINAL_M2 * links["size"] * vertical_film(work.terminal - work.air, 0.01)
    wire_film = cylinder_film(work.wire, wire["outer"]) + EMISSIVITY * radiation_film(inside_k)
    flows["per_m"] = np.pi * wire["outer"] * np.maximum(wire_film, 6.0)
    flows["fin"] = np.sqrt(flows["per_m"] * wire["conduct"]) * pole
    height = 0.3 + 0.0125 * circuit.slots[:, None, None]
    area = 0.37 * height + 0.2 * (0.37 + height)
    flows["shell"] = film * area * _film(work.air / 2.0, room_k, 0.5) / 2.0 + LEAK_W_K * film


def _advance(circuit: Circuit, work: _Work, links: dict[str, Floats]) -> float:
    """Do one pass of the fixed point; return the largest change [K]."""
    f = work.flows
    work.wire = f["wire_w_m"] / f["per_m"]
    out = links["to_terminal"] + f["skin"] + f["fin"] + (1.0 - links["pole"])
    drive = f["terminal_w"] + (f["skin"] + f["fin"]) * work.air + f["fin"] * work.wire
    share = links["to_terminal"] / out
    spread = links["above"] + links["below"] + links["across"]
    own = f["front"] + f["side"] + spread + links["to_terminal"] * (1.0 - share)
    heat = f["body_w"] + f["side"] * work.air + share * drive + _neighbours(work.face, links)
    face = links["pole"] * heat / (own + (1.0 - links["pole"]))
    change = float(np.max(np.abs(face - work.face)))
    work.face = face
    work.terminal = links["pole"] * (drive + links["to_terminal"] * face) / out
    inner = f["side"] * face + f["skin"] * work.terminal + f["fin"] * (work.terminal - work.wire)
    inner += f["wire_w_m"] * WIRE_IN_PANEL_M
    total = f["shell"] + (f["side"] + f["skin"] + f["fin"]).sum(axis=(1, 2), keepdims=True)
    air = inner.sum(axis=(1, 2), keepdims=True) / total
    change = max(change, float(np.max(np.abs(air - work.air))))
    work.air = air
    return change


def _result(circuit: Circuit, work: _Work, passes: int, wire: dict[str, Floats]) -> Steady:
    f = work.flows
    far = work.air + work.wire
    decay = np.exp(-READ_AT_M * np.sqrt(f["per_m"] / wire["conduct"]))
    heat_in = f["body_w"] + f["terminal_w"] + f["wire_w_m"] * WIRE_IN_PANEL_M
    return Steady(
        face_k=work.face,
        terminal_k=work.terminal,
        wire_k=far + (work.terminal - far) * decay,
        air_k=work.air[:, 0, 0],
        heat_in_w=heat_in.sum(axis=(1, 2)),
        heat_out_w=(f["front"] * work.face).sum(axis=(1, 2)) + (f["shell"] * work.air)[:, 0, 0],
        passes=passes,
    )


def solve(circuit: Circuit) -> Steady:
    """Solve the steady heat balance of all panels.

    Every heat source (Joule heat of body, terminal and wire, own draw) leaves over the faces or
    the enclosure. Not to be trusted under draught, sun, or beyond about 150 K of rise.

    Args: circuit, pole arrays [panel, 21, 2]. Returns the temperatures over ambient [K] and both
    sides of the balance [W]. Raises ArithmeticError when the fixed point is not reached.
    """
    shape = circuit.current_a.shape
    warm, mild = np.full(shape, 5.0), np.ones(shape)
    work = _Work(warm, warm, mild, air=np.full((shape[0], 1, 1), 3.0), flows={})
    links, wire = _links(circuit), _wire(circuit)
    for passes in range(1, MOST_PASSES + 1):
        _sources(circuit, work, wire)
        _conductances(circuit, work, links, wire)
        if _advance(circuit, work, links) < TOLERANCE_K:
            return _result(circuit, work, passes, wire)
    raise ArithmeticError(f"The heat balance did not close within {MOST_PASSES} passes.")
