"""What inspectors make of the invented fleet: cameras, clamps, habits, findings."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tests.guarantees.transient_layout import MAKES, MONITOR, RATINGS, SURGE
from tests.guarantees.transient_loads import QUARTERS
from tests.guarantees.transient_parts import Array

SET_EMISSIVITY = 0.95
CAMERA_OFFSET_K, CAMERA_GAIN = 0.5, 0.005
AIR_K, WRONG_AIR_K, WRONG_AIR_SHARE = 0.7, 3.0, 0.04
FACE_EMISSIVITY_SD, TERMINAL_EMISSIVITY_SD = 0.010, 0.03
ZERO_K = 273.15
CANONICAL = [
    "inspection_id",
    "inspected_at",
    "inspector_id",
    "office_id",
    "camera_id",
    "clamp_id",
    "site_id",
    "panel_id",
    "panel_location",
    "panel_rated_a",
    "ambient_temp",
    "device_temp",
    "termination_temp",
    "conductor_temp",
    "temp_unit",
    "position",
    "device_class",
    "make",
    "poles",
    "rated_a",
    "current_a",
    "conductor_awg",
    "conductor_material",
    "emissivity",
    "reflected_temp",
    "load_minutes",
    "note",
]


def fahrenheit(temp_degc: Any) -> Any:
    """Return a temperature in degrees Fahrenheit."""
    return 1.8 * temp_degc + 32.0


def radiated_degc(true_degc: Array, emissivity: Array, room_degc: Array) -> Array:
    """Return what a camera set to 0.95 and the room shows for a surface of that emissivity."""
    room = (room_degc + ZERO_K) ** 4
    sent = emissivity * (true_degc + ZERO_K) ** 4 + (1.0 - emissivity) * room
    shown: Array = ((sent - (1.0 - SET_EMISSIVITY) * room) / SET_EMISSIVITY) ** 0.25 - ZERO_K
    return shown


def draw_cameras(
    rng: np.random.Generator, drift: Mapping[str, tuple[int, float]]
) -> dict[str, Array]:
    """Return offset [K] per camera and quarter, gain [1] and noise [K] per camera.

    `drift` maps a camera to its first drifting quarter (0 to 7) and the added offset [K].
    """
    count = 14
    offset = rng.normal(0.0, CAMERA_OFFSET_K, (count, QUARTERS))
    for camera, (quarter, added_k) in drift.items():
        offset[int(camera[1:]) - 1, quarter:] += added_k
    return {
        "offset_k": offset,
        "gain": np.clip(rng.normal(0.0, CAMERA_GAIN, count), -0.01, 0.01),
        "noise_k": rng.uniform(0.3, 0.6, count),
    }


def _air(rng: np.random.Generator, visits: pd.DataFrame) -> Array:
    """Return the error [K] of the ambient temperature noted for each panel visit."""
    share = visits["wrong_air"].to_numpy()
    wrong = rng.random(len(visits)) < share
    return rng.normal(0.0, np.where(wrong, WRONG_AIR_K, AIR_K))


def _clamped(
    rng: np.random.Generator, rows: pd.DataFrame, shown_k: Array, visits: pd.DataFrame
) -> Array:
    median = pd.Series(shown_k).groupby(rows["panel"].to_numpy()).transform("median")
    warm = np.clip(shown_k - median.to_numpy(), -2.0, 12.0)
    person = visits.iloc[rows["panel"]]
    leaning = person["clamps_cool"].to_numpy() + person["clamps_warm"].to_numpy() * warm
    leaning = leaning - 1.5 * np.isin(rows["kind"], (SURGE, MONITOR))
    return rng.random(len(rows)) < 1.0 / (1.0 + np.exp(-leaning))


def _clamp_current(rng: np.random.Generator, rows: pd.DataFrame, visits: pd.DataFrame) -> Array:
    """Return the clamped current [A]: mostly the larger leg, 2 % and a few tenths off."""
    one, two = rows["now_first_a"].to_numpy(), rows["now_second_a"].to_numpy()
    larger = np.where(rng.random(len(rows)) < 0.8, np.maximum(one, two), one)
    clamp = visits["clamp"].to_numpy()[rows["panel"]]
    gain, spread = np.clip(rng.normal(0, 0.01, 8), -0.02, 0.02), rng.uniform(0.2, 0.5, 8)
    slip = rng.uniform(-1.0, 1.0, len(rows)) * spread[clamp]
    return np.round(np.maximum(larger * (1.0 + gain[clamp]) + slip * (larger > 0), 0.0), 1)


def observe(
    rng: np.random.Generator,
    rows: pd.DataFrame,
    visits: pd.DataFrame,
    cameras: Mapping[str, Array],
    emissivity: Array,
) -> pd.DataFrame:
    """Add what was noted: temperatures [degC] unrounded, current, and the noise behind them.

    `rows` carries face_k, term_k, wire_k over the room and room_degc; `emissivity` is the true one
    of faces, one a make [1].
    """
    size, panel = len(rows), rows["panel"].to_numpy()
    camera, quarter = visits["camera"].to_numpy()[panel], visits["quarter"].to_numpy()[panel]
    room = rows["room_degc"].to_numpy()
    offset, noise = cameras["offset_k"][camera, quarter], cameras["noise_k"][camera]
    face_e = emissivity[rows["make"].to_numpy()] + rng.normal(0, FACE_EMISSIVITY_SD, size)

    def shown(rise: str, surface: Array) -> Array:
        seen = radiated_degc(room + rows[rise].to_numpy(), np.clip(surface, 0.3, 0.98), room)
        seen = seen + cameras["gain"][camera] * (seen - 20.0) + offset
        return np.asarray(seen + rng.normal(0, 1, size) * noise)

    device, air_k = shown("face_k", face_e), _air(rng, visits)[panel]
    clamped = _clamped(rng, rows, device - room, visits)
    person = visits.iloc[panel]
    reads_term = clamped & (rng.random(size) < person["reads_terminal"].to_numpy())
    reads_wire = clamped & (rng.random(size) < person["reads_wire"].to_numpy())
    term = shown("term_k", rng.normal(0.91, TERMINAL_EMISSIVITY_SD, size))
    wire = shown("wire_k", rng.normal(0.94, 0.01, size))
    return rows.assign(
        shown_degc=device,
        shown_air_degc=room + air_k,
        shown_term_degc=np.where(reads_term, term, np.nan),
        shown_wire_degc=np.where(reads_wire, wire, np.nan),
        shown_a=np.where(clamped, _clamp_current(rng, rows, visits), np.nan),
        camera_offset_k=offset,
        air_error_k=air_k,
        noise_k=noise,
    )


def as_readings(rng: np.random.Generator, rows: pd.DataFrame, visits: pd.DataFrame) -> pd.DataFrame:
    """Return the canonical columns in Fahrenheit, rounded as each inspector does."""
    panel = rows["panel"].to_numpy()
    person = visits.iloc[panel].reset_index(drop=True)
    kept = visits["skips_minutes"].to_numpy() < rng.random(len(visits))
    minutes = np.maximum(5 * np.round(visits["minutes"].to_numpy() / 5), 5.0)
    own = {"load_minutes": np.where(kept, minutes, np.nan)[panel]}
    blank = dict.fromkeys(("emissivity", "reflected_temp", "note"))
    noted = _temperatures(rows, person["whole_degrees"].to_numpy())
    frame = pd.DataFrame(_headings(person) | noted | _devices(rows) | own).assign(**blank)
    return frame[CANONICAL].astype(object)


def _headings(person: pd.DataFrame) -> dict[str, Any]:
    """Return what is the same for a whole panel visit."""
    return {
        "inspection_id": [f"V{number:05d}" for number in person["inspection"]],
        "inspected_at": person["inspected_at"].dt.strftime("%Y-%m-%d %H:%M"),
        "inspector_id": person["inspector_id"],
        "office_id": [f"F{number + 1}" for number in person["office"]],
        "camera_id": [f"C{number + 1:02d}" for number in person["camera"]],
        "clamp_id": [f"A{number + 1:02d}" for number in person["clamp"]],
        "site_id": [f"S{number:05d}" for number in person["site"]],
        "panel_id": [f"P{number:05d}" for number in person["source"]],
        "panel_location": person["panel_location"],
        "panel_rated_a": person["panel_rated_a"],
    }


def _temperatures(rows: pd.DataFrame, whole: NDArray[np.bool_]) -> dict[str, Any]:
    """Return the temperatures [°F] to a tenth, or to a degree where `whole`."""
    names = {
        "ambient_temp": "shown_air_degc",
        "device_temp": "shown_degc",
        "termination_temp": "shown_term_degc",
        "conductor_temp": "shown_wire_degc",
    }
    exact = {column: fahrenheit(rows[name].to_numpy()) for column, name in names.items()}
    noted = {k: np.where(whole, np.round(v), np.round(v, 1)) for k, v in exact.items()}
    return noted | {"temp_unit": "degF"}


def _devices(rows: pd.DataFrame) -> dict[str, Any]:
    """Return what is read off the device itself, and its clamped current."""
    return {
        "position": rows["first"].to_numpy(),
        "device_class": rows["device_class"].to_numpy(),
        "make": [MAKES[number] for number in rows["make"]],
        "poles": rows["poles"].to_numpy(),
        "rated_a": rows["rated_a"].to_numpy(),
        "current_a": rows["shown_a"].to_numpy(),
        "conductor_awg": [RATINGS[number][2] for number in rows["rated_a"]],
        "conductor_material": "copper",
    }


def draw_findings(
    rng: np.random.Generator, rows: pd.DataFrame, readings: pd.DataFrame, truth: pd.DataFrame
) -> pd.DataFrame:
    """Return what electricians reported: mostly devices that looked hot, and a 2 % audit."""
    excess = rows["shown_degc"] - rows["shown_air_degc"]
    excess = excess - excess.groupby(rows["panel"]).transform("median")
    chance = 1.0 / (1.0 + np.exp(-(excess.to_numpy() - 16.0) / 3.0))
    chosen = rng.random(len(rows)) < np.maximum(chance, 0.02)
    seen = rng.random(len(rows)) < 0.92
    found = np.select(
        [
            truth["has_terminal_fault"].to_numpy() & seen,
            truth["has_internal_fault"].to_numpy() & seen,
            truth["is_overload"].to_numpy() & seen,
        ],
        ["loose_connection", "device_fault", "overload"],
        "nothing_found",
    )
    days = pd.to_timedelta(rng.integers(2, 40, len(rows)), unit="D")
    frame = truth[["inspection_id", "panel_id", "position"]].assign(
        found_at=(rows["inspected_at"] + days).dt.strftime("%Y-%m-%d").to_numpy(),
        finding=found,
        examined_by_licensed=np.where(rng.random(len(rows)) < 0.93, "yes", "no"),
        note=None,
    )
    return frame[chosen].reset_index(drop=True)
