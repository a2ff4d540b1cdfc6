"""An independent fleet of panel scans from a transient heat network, for proof only.

It shares no formula with the analysis: no baseline, no power of the load fraction. Run
`python -m tests.guarantees.transient_fleet --panels 2000 --seed 1 --out DIR`.
"""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd

from tests.guarantees import transient_observation as seen
from tests.guarantees.transient_layout import MAKES, add_scatter, draw_devices, draw_panels
from tests.guarantees.transient_loads import (
    as_schedule,
    draw_faults,
    draw_loads,
    draw_staff,
    draw_visits,
)
from tests.guarantees.transient_network import build_network
from tests.guarantees.transient_parts import Array, Network, Schedule, scan
from tests.guarantees.transient_slips import add_slips

MATERIAL_K = 3.0
SECOND_VISITS = 0.1
KEYS = ["inspection_id", "panel_id", "position"]


@dataclass(frozen=True)
class Fleet:
    """Readings and findings as a firm would file them, and the truth behind each reading."""

    readings: pd.DataFrame
    findings: pd.DataFrame
    truth: pd.DataFrame


@dataclass(frozen=True)
class _World:
    devices: pd.DataFrame
    visits: pd.DataFrame
    network: Network
    nominal: Network
    schedule: Schedule
    emissivity: Array


def _draw_makes(rng: np.random.Generator) -> pd.DataFrame:
    count = len(MAKES)
    return pd.DataFrame(
        {
            "body": np.exp(rng.normal(0, 0.06, count)),
            "cool": np.exp(rng.normal(0, 0.05, count)),
            "contact": np.exp(rng.normal(0, 0.15, count)),
            "emissivity": rng.uniform(0.90, 0.96, count),
        }
    )


def _per_visit(devices: pd.DataFrame, visits: pd.DataFrame) -> pd.DataFrame:
    """Return the devices once for every visit of their panel."""
    pairs = pd.DataFrame({"source": visits["source"], "visit": np.arange(len(visits))})
    joined = pairs.merge(devices.rename(columns={"panel": "source"}), on="source")
    joined = joined.rename(columns={"visit": "panel"}).drop(columns="source")
    return joined.sort_values(["panel", "first"], ignore_index=True)


def _draw_world(panels: int, seed: int, fault_share: float, fault_rise: float) -> _World:
    names = ("layout", "visits", "scatter", "faults", "loads")
    streams = np.random.SeedSequence(seed).spawn(len(names))
    rng = {name: np.random.default_rng(s) for name, s in zip(names, streams, strict=True)}
    makes = _draw_makes(rng["layout"])
    frame = draw_panels(rng["layout"], max(1, panels - int(SECOND_VISITS * panels)))
    units = add_scatter(rng["scatter"], draw_devices(rng["layout"], frame))
    visits = draw_visits(rng["visits"], panels, frame, draw_staff(rng["visits"]))
    devices = _per_visit(units, visits)
    devices = draw_faults(rng["faults"], devices, visits, fault_share, fault_rise)
    devices = draw_loads(rng["loads"], devices, visits)
    typical = devices.assign(u_body=0.0, u_term=0.0, u_cool=0.0, u_draw=0.0)
    return _World(
        devices,
        visits,
        build_network(devices, visits, makes),
        build_network(typical, visits, makes).without_faults(),
        as_schedule(devices, visits),
        makes["emissivity"].to_numpy(),
    )


def _read_off(world: _World, network: Network, prefix: str) -> pd.DataFrame:
    """Return face, termination and wire [K over the room], the hotter pole of each device."""
    state = scan(network, world.schedule)
    panel = world.devices["panel"].to_numpy()
    one, two = world.devices["first"].to_numpy(), world.devices["second"].to_numpy()
    nodes = {"face_k": state.body, "term_k": state.term, "wire_k": state.wire}
    return pd.DataFrame(
        {
            prefix + name: np.maximum(grid[one, panel], grid[two, panel])
            for name, grid in nodes.items()
        }
    )


def _heat(world: _World) -> pd.DataFrame:
    """Add true temperatures with and without faults, and of the typical unit."""
    actual = _read_off(world, world.network, "")
    if not (world.network.fault_body_ohm.any() or world.network.fault_term_ohm.any()):
        healthy = actual.add_prefix("healthy_")
    else:
        healthy = _read_off(world, world.network.without_faults(), "healthy_")
    nominal = _read_off(world, world.nominal, "nominal_")
    rows = pd.concat([world.devices, actual, healthy, nominal], axis=1)
    panel = rows["panel"].to_numpy()
    return rows.assign(
        room_degc=world.visits["room_degc"].to_numpy()[panel],
        inspected_at=world.visits["inspected_at"].to_numpy()[panel],
    )


def _scatter_k(rows: pd.DataFrame) -> Array:
    """Return the spread [K] of healthy units round the typical one, by class and rise."""
    gap = rows["healthy_face_k"] - rows["nominal_face_k"]
    rank = rows.groupby("device_class")["nominal_face_k"].rank(pct=True)
    band = (rank * 8).astype(int)
    spread = (gap**2).groupby([rows["device_class"], band]).transform("median")
    return 1.4826 * np.sqrt(spread.to_numpy())


def _truth(rows: pd.DataFrame, clean: pd.DataFrame, world: _World) -> pd.DataFrame:
    """Return the truth of each reading; a fault's lift is own, spill from others is apart."""
    own = (rows["fault_body"] > 0) | (rows["fault_term"] > 0)
    change = {node: rows[f"{node}_k"] - rows[f"healthy_{node}_k"] for node in ("face", "term")}
    lift = {node: change[node].where(own, 0.0) for node in change}
    spill = change["face"].where(~own, 0.0)
    larger = rows[["now_first_a", "now_second_a"]].max(axis=1)
    fraction = larger / rows["rated_a"]
    long_on = rows["is_long_on"] | (rows["now_first_a"] == rows["before_first_a"])
    frame = pd.DataFrame(
        {
            "has_fault": own,
            "has_terminal_fault": rows["fault_term"] > 0,
            "has_internal_fault": rows["fault_body"] > 0,
            "lift_face_k": lift["face"],
            "lift_termination_k": lift["term"],
            "is_material": own & (np.maximum(lift["face"], lift["term"]) >= MATERIAL_K),
            "spill_face_k": spill,
            "true_current_a": larger,
            "true_load_fraction": fraction,
            "is_overload": (fraction > 1.0) | ((fraction > 0.8) & long_on),
            "true_rise_k": rows["face_k"],
            "healthy_rise_k": rows["healthy_face_k"] + spill,
            "nominal_rise_k": rows["nominal_face_k"] + spill,
        }
    )
    return pd.concat([_noted(rows, clean), frame, _oracles(rows, frame, world)], axis=1)


def _noted(rows: pd.DataFrame, clean: pd.DataFrame) -> pd.DataFrame:
    """Return the keys and what was noted before any clerical error, for reference detectors."""
    keys = clean[KEYS].astype({"position": int})
    return keys.assign(
        device_class=rows["device_class"],
        poles=rows["poles"],
        rated_a=rows["rated_a"],
        panel_devices=rows.groupby("panel")["first"].transform("size"),
        observed_rise_k=rows["shown_degc"] - rows["shown_air_degc"],
        observed_load_fraction=rows["shown_a"] / rows["rated_a"],
        is_current_known=rows["shown_a"].notna(),
        noted_air_degc=rows["shown_air_degc"],
        noted_minutes=pd.to_numeric(clean["load_minutes"]),
        camera_id=clean["camera_id"].astype(str),
    )


def _oracles(rows: pd.DataFrame, frame: pd.DataFrame, world: _World) -> pd.DataFrame:
    """Return three detectors that know the physics, for rows with a clamped current.

    The oracle knows the unit's true healthy rise and the spread of instruments and air; the fair
    oracle only the typical unit and the spread between units besides; the sharp one also the error
    of this camera and of this panel's air: a bound no detector reaches.
    """
    healthy, nominal = frame["healthy_rise_k"], frame["nominal_rise_k"]
    relative = np.sqrt(seen.CAMERA_GAIN**2 + (seen.FACE_EMISSIVITY_SD / 0.95) ** 2)
    row_sd = np.sqrt(rows["noise_k"] ** 2 + (relative * healthy) ** 2 + 0.05**2)  # 0.05: rounding
    air = (1 - seen.WRONG_AIR_SHARE) * seen.AIR_K**2 + seen.WRONG_AIR_SHARE * seen.WRONG_AIR_K**2
    sd = np.sqrt(row_sd**2 + seen.CAMERA_OFFSET_K**2 + air)
    fair_sd = np.sqrt(sd**2 + _scatter_k(rows) ** 2)
    rise, known = rows["shown_degc"] - rows["shown_air_degc"], rows["shown_a"].notna()
    gap = rise - _expected_shown(rows, healthy, world)
    fair_gap = rise - _expected_shown(rows, nominal, world)
    shared = rows["camera_offset_k"] - rows["air_error_k"]
    return pd.DataFrame(
        {
            "oracle_sd_k": sd,
            "oracle_score": (gap / sd).where(known),
            "fair_sd_k": fair_sd,
            "fair_oracle_score": (fair_gap / fair_sd).where(known),
            "sharp_sd_k": row_sd,
            "sharp_oracle_score": ((gap - shared) / row_sd).where(known),
        }
    )


def _expected_shown(rows: pd.DataFrame, rise_k: pd.Series, world: _World) -> Array:
    """Return the rise [K] a faultless camera would show for a face this warm."""
    room, rise = rows["room_degc"].to_numpy(), rise_k.to_numpy()
    surface = world.emissivity[rows["make"].to_numpy()]
    return seen.radiated_degc(room + rise, surface, room) - room


def simulate(
    panels: int,
    seed: int,
    *,
    fault_share: float = 0.02,
    fault_rise: float = 0.0,
    clerical_share: float = 0.015,
    camera_drift: Mapping[str, tuple[int, float]] | None = None,
) -> Fleet:
    """Return an invented fleet with its truth.

    Args:
        panels: panel visits; a tenth are second visits of an earlier panel.
        seed: same seed, same fleet; faults and slips draw from streams of their own.
        fault_share: share of devices with a fault of any size [1].
        fault_rise: the share grows by this part from the fifth of eight quarters on [1].
        clerical_share: share of rows with a clerical error [1].
        camera_drift: camera ("C01" to "C14") -> first drifting quarter (0 to 7), added offset [K].

    Returns:
        Readings in Fahrenheit, findings, and the truth keyed by inspection, panel and position.
    """
    world = _draw_world(panels, seed, fault_share, fault_rise)
    streams = np.random.SeedSequence((seed, 1)).spawn(4)
    sight, notes, slips, finds = (np.random.default_rng(stream) for stream in streams)
    cameras = seen.draw_cameras(sight, camera_drift or {})
    rows = seen.observe(sight, _heat(world), world.visits, cameras, world.emissivity)
    clean = seen.as_readings(notes, rows, world.visits)
    truth = _truth(rows, clean, world)
    readings, marks = add_slips(slips, clean, clerical_share)
    truth = pd.concat([truth, marks], axis=1)
    truth["is_judgeable"] = truth["is_current_known"] & (truth["clerical_error"] == "")
    return Fleet(readings, seen.draw_findings(finds, rows, clean, truth), truth)


def write_csv(fleet: Fleet, path: Path) -> None:
    """Write the readings as a firm's file: empty cells where nothing was noted."""
    fleet.readings.to_csv(path, index=False)


def main(arguments: list[str] | None = None) -> None:
    """Write readings.csv, findings.csv and truth.parquet of one fleet."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--panels", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--fault-share", type=float, default=0.02)
    parser.add_argument("--clerical-share", type=float, default=0.015)
    parser.add_argument("--fault-rise", type=float, default=0.0)
    parser.add_argument("--drift", help="camera:quarter:kelvin, such as C03:5:3.0")
    given = parser.parse_args(arguments)
    drift = {}
    if given.drift:
        camera, quarter, kelvin = given.drift.split(":")
        drift = {camera: (int(quarter), float(kelvin))}
    fleet = simulate(
        given.panels,
        given.seed,
        fault_share=given.fault_share,
        fault_rise=given.fault_rise,
        clerical_share=given.clerical_share,
        camera_drift=drift,
    )
    given.out.mkdir(parents=True, exist_ok=True)
    write_csv(fleet, given.out / "readings.csv")
    fleet.findings.to_csv(given.out / "findings.csv", index=False)
    fleet.truth.to_parquet(given.out / "truth.parquet", index=False)


if __name__ == "__main__":
    main()
