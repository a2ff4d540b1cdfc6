"""From a scenario and a seed to readings, findings and the truth, before any clerical error."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from synthetic_data import faults, fleet, loads, moment, observe, visits
from synthetic_data.fleet import Fleet, Floats, Ints
from synthetic_data.moment import Rises
from synthetic_data.report import find
from synthetic_data.spec import Scenario
from synthetic_data.visits import Air, Visits

CONTINUOUS_LIMIT = 0.8
"""Share of the rating that a load of three hours or more may take [1]: NEC 210.20(A)."""


@dataclass(frozen=True)
class World:
    """Everything true about a fleet's visits."""

    scenario: Scenario
    fleet: Fleet
    visits: Visits
    air: Air
    currents: loads.Currents
    faulty: faults.Faulty
    rises: Rises


def _streams(seed: int) -> dict[str, np.random.Generator]:
    names = ("plan", "fleet", "air", "loads", "faults", "lag", "observe", "report")
    children = np.random.SeedSequence(seed).spawn(len(names))
    return {n: np.random.default_rng(c) for n, c in zip(names, children, strict=True)}


def world(scenario: Scenario, seed: int) -> World:
    """Invent a fleet, its visits, loads and faults, and solve its temperatures."""
    rng = _streams(seed)
    plan = visits.plan(scenario, rng["plan"])
    first_seen = plan.quarter[np.unique(plan.panel, return_index=True)[1]]
    built = fleet.build(scenario, first_seen, rng["fleet"])
    air = visits.air(plan, built.location[plan.panel], rng["air"])
    currents = loads.draw(built, plan.panel, scenario.loads, rng["loads"])
    faulty = faults.plant(scenario, built, plan, currents, rng["faults"])
    rises = moment.rises(built, plan, currents, faulty, air.true_degc, rng["lag"])
    return World(scenario, built, plan, air, currents, faulty, rises)


def _legs(values: Floats, at: World) -> tuple[Floats, Floats]:
    """Return the larger and the smaller of each device's poles [reading], in order of position."""
    panel = at.visits.panel
    is_two = at.fleet.poles[panel] == 2
    other = np.zeros_like(values)
    other[:, 1:-1] = values[:, 2:]
    other[:, 0, 0] = values[:, 0, 1]
    other = np.where(is_two, other, values)
    heads = at.fleet.is_head[panel]
    return np.maximum(values, other)[heads], np.minimum(values, other)[heads]


def _larger(values: Floats, at: World) -> Floats:
    return _legs(values, at)[0]


def _truth(at: World, visit: Ints) -> pd.DataFrame:
    panel, heads = at.visits.panel, at.fleet.is_head[at.visits.panel]
    _, row, side = np.nonzero(heads)
    full, alone, healed = at.rises.full, at.rises.without_own, at.rises.healed
    current, other_leg = _legs(at.currents.current_a, at)
    fraction = current / at.fleet.rated_a[panel][heads]
    is_continuous = at.currents.is_continuous[heads]
    kind = at.faulty.kind[heads]
    ambient = at.air.true_degc[visit]
    face, terminal = _larger(full.face_k, at), _larger(full.terminal_k, at)
    face_alone = _larger(alone.face_k, at)
    return pd.DataFrame(
        {
            "visit": visit,
            "quarter": np.array(at.scenario.quarters)[at.visits.quarter[visit]],
            "position": np.where(row == 0, 0, 2 * row - 1 + side),
            "truth": np.array(faults.KINDS)[kind],
            "lift_face_k": face - face_alone,
            "lift_termination_k": terminal - _larger(alone.terminal_k, at),
            "lift_from_neighbours_k": face_alone - _larger(healed.face_k, at),
            "fault_mohm": 1000.0 * _larger(at.faulty.body_ohm + at.faulty.terminal_ohm, at),
            "is_overload": (fraction > 1.0) | ((fraction > CONTINUOUS_LIMIT) & is_continuous),
            "is_continuous": is_continuous,
            "true_current_a": current,
            "true_other_leg_a": other_leg,
            "true_load_fraction": fraction,
            "true_ambient_degc": ambient,
            "true_face_degc": ambient + face,
            "true_termination_degc": ambient + terminal,
            "true_conductor_degc": ambient + _larger(full.wire_k, at),
            "true_load_minutes": at.visits.minutes[visit],
        }
    )


def _identity(at: World, truth: pd.DataFrame) -> pd.DataFrame:
    """Return the columns that say who, where and what, without any measurement."""
    visit = truth["visit"].to_numpy()
    v, heads = at.visits, at.fleet.is_head[at.visits.panel]
    people = visits.inspector_names(at.scenario)[v.inspector[visit]]
    panel = v.panel[visit]
    columns = {
        "inspection_id": [f"i{n:06d}" for n in (v.inspection + 1)],
        "inspected_at": v.at.astype("M8[s]"),
        "site_id": [f"s{n:06d}" for n in (v.site + 1)],
        "panel_id": [f"p{n:06d}" for n in (v.panel + 1)],
    }
    frame = pd.DataFrame({name: np.asarray(values)[visit] for name, values in columns.items()})
    frame["inspector_id"] = people
    frame["office_id"] = np.array([o.id for o in at.scenario.offices])[v.office[visit]]
    frame["camera_id"] = np.array(observe.camera_names(at.scenario))[v.camera[visit]]
    frame["clamp_id"] = np.char.add("clamp-", people)
    frame["panel_location"] = np.array(fleet.LOCATIONS)[at.fleet.location[panel]]
    frame["panel_rated_a"] = at.fleet.rated_panel_a[panel].astype(float)
    frame["position"] = truth["position"]
    frame["device_class"] = observe.class_names(at.fleet.device_class[v.panel][heads])
    frame["make"] = np.array([m.name for m in at.scenario.makes])[at.fleet.make[v.panel][heads]]
    frame["poles"] = at.fleet.poles[v.panel][heads]
    frame["rated_a"] = at.fleet.rated_a[v.panel][heads].astype(float)
    frame["conductor_awg"] = at.fleet.awg[v.panel][heads]
    is_aluminium = at.fleet.is_aluminium[v.panel][heads]
    frame["conductor_material"] = np.where(is_aluminium, "aluminium", "copper")
    return frame


def readings_of(at: World, rng: np.random.Generator) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Return (readings, truth) of a world, a row a reading each, in the same order."""
    heads = at.fleet.is_head[at.visits.panel]
    visit = np.nonzero(heads)[0]
    truth = _truth(at, visit)
    frame = _identity(at, truth)
    measured, hidden = observe.measure(at.scenario, at.visits, at.air, frame, truth, rng)
    truth = pd.concat([truth, hidden], axis=1).drop(columns="visit")
    truth.insert(0, "inspection_id", frame["inspection_id"])
    truth.insert(1, "panel_id", frame["panel_id"])
    return pd.concat([frame, measured], axis=1)[list(COLUMNS)], truth


COLUMNS = (
    "inspection_id", "inspected_at", "inspector_id", "office_id", "camera_id", "clamp_id",
    "site_id", "panel_id", "panel_location", "panel_rated_a", "ambient_temp", "device_temp",
    "termination_temp", "conductor_temp", "temp_unit", "position", "device_class", "make", "poles",
    "rated_a", "current_a", "conductor_awg", "conductor_material", "emissivity", "reflected_temp",
    "load_minutes", "note",
)  # fmt: skip


def simulate(scenario: Scenario, seed: int) -> tuple[pd.DataFrame, pd.DataFrame, pd.DataFrame]:
    """Return (readings, findings, truth) of an invented fleet, without clerical errors or files.

    Readings carry the canonical columns with temperatures in °C; truth has one row a reading, in
    the same order. The same scenario and seed give the same frames.
    """
    at = world(scenario, seed)
    rng = _streams(seed)
    readings, truth = readings_of(at, rng["observe"])
    return readings, find(readings, truth, rng["report"]), truth
