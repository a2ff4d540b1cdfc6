"""How each office keeps its sheet: headers, spellings, units and number formats."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analytics.units import temperature_scale

Cells = NDArray[np.object_]
TEMPERATURES = (
    "ambient_temp",
    "device_temp",
    "termination_temp",
    "conductor_temp",
    "reflected_temp",
)
Formatter = Callable[[pd.Series], Cells]


@dataclass(frozen=True)
class Style:
    """One way to keep a sheet: canonical column -> header, canonical class -> spellings."""

    name: str
    kind: str
    """“csv” or “xlsx”."""
    temp_unit: str
    headers: dict[str, str]
    classes: dict[str, tuple[str, ...]]
    formats: dict[str, Formatter]
    separator: str = ","
    has_mark: bool = False
    """Begins with a byte order mark and holds a blank line now and then."""
    title: tuple[str, ...] = ()
    extras: dict[str, str] = field(default_factory=dict)
    """Columns of the firm's own that nobody asked for: header -> what every cell says."""


def _each(make: Callable[[float], object]) -> Formatter:
    """Format numbers one by one; a missing one stays an empty cell."""

    def cells(values: pd.Series) -> Cells:
        texts = [None if v != v else make(v) for v in values.tolist()]
        return np.array(texts, dtype=object)

    return cells


def _text(values: pd.Series) -> Cells:
    return np.array([v or None for v in values.astype(object).tolist()], dtype=object)


def _dates(pattern: str) -> Formatter:
    def cells(values: pd.Series) -> Cells:
        return np.array(values.dt.strftime(pattern).tolist(), dtype=object)

    return cells


def _moments(values: pd.Series) -> Cells:
    return np.array(values.dt.to_pydatetime(), dtype=object)


def _plain(value: float) -> str:
    return f"{value:.10g}"


def _comma(value: float) -> str:
    return _plain(round(value, 1)).replace(".", ",")


WHOLE = _each(lambda v: f"{v:.0f}")
ONE_PLACE = _each(lambda v: f"{v:.1f}")
NUMBER = _each(_plain)

FAHRENHEIT_CSV = Style(
    name="fahrenheit_csv",
    kind="csv",
    temp_unit="degF",
    has_mark=True,
    headers={
        "inspection_id": "Inspection",
        "inspected_at": "Date/Time",
        "inspector_id": "Tech",
        "camera_id": "IR Camera",
        "clamp_id": "Clamp Meter",
        "site_id": "Site",
        "panel_id": "Panel",
        "panel_location": "Location",
        "panel_rated_a": "Panel Amps",
        "ambient_temp": "Ambient (°F)",
        "device_temp": "Breaker Temp (°F)",
        "termination_temp": "Lug Temp (°F)",
        "conductor_temp": "Wire Temp (°F)",
        "position": "Slot",
        "device_class": "Type",
        "make": "Brand",
        "poles": "Poles",
        "rated_a": "Rating (A)",
        "current_a": "Measured (A)",
        "conductor_awg": "Wire AWG",
        "conductor_material": "Wire Metal",
        "load_minutes": "Min. Under Load",
        "note": "Remarks",
    },
    classes={
        "standard": ("Standard", "Standard", "Standard", "STD", "standard "),
        "main": ("Main",),
        "afci": ("AFCI", "AFCI", "Arc Fault"),
        "gfci": ("GFCI", "GFCI", "Ground Fault"),
        "dual_function": ("Dual Function", "AFCI/GFCI"),
        "surge_protector": ("Surge Protector", "SPD"),
        "energy_monitor": ("Energy Monitor",),
        "other_electronic": ("Other Electronic", "Smart Breaker"),
    },
    formats={
        "inspected_at": _dates("%Y-%m-%d %H:%M"),
        "panel_rated_a": WHOLE,
        "ambient_temp": WHOLE,
        "device_temp": ONE_PLACE,
        "termination_temp": ONE_PLACE,
        "conductor_temp": ONE_PLACE,
    },
    extras={"Job no.": "", "Client": "withheld"},
)

WORKBOOK = Style(
    name="fahrenheit_workbook",
    kind="xlsx",
    temp_unit="degF",
    title=("Panel scans", "Readings as taken; temperatures off the camera"),
    headers={
        "inspection_id": "Visit #",
        "inspected_at": "When",
        "inspector_id": "Inspector",
        "camera_id": "Camera",
        "site_id": "House",
        "panel_id": "Panel #",
        "panel_location": "Where",
        "panel_rated_a": "Panel size",
        "ambient_temp": "Room",
        "device_temp": "Breaker face",
        "termination_temp": "At terminal",
        "conductor_temp": "On wire",
        "position": "Space",
        "device_class": "Breaker kind",
        "make": "Made by",
        "poles": "Poles",
        "rated_a": "Breaker size",
        "current_a": "Amps",
        "conductor_awg": "Gauge",
        "load_minutes": "On for",
        "note": "Comments",
    },
    classes={
        "standard": ("Std", "Std", "Std.", "Regular"),
        "main": ("Main", "MAIN"),
        "afci": ("Arc-fault",),
        "gfci": ("Ground-fault", "GFI"),
        "dual_function": ("AFCI/GFCI combo", "Combo"),
        "surge_protector": ("Surge",),
        "energy_monitor": ("Monitor",),
        "other_electronic": ("Electronic",),
    },
    formats={
        "inspected_at": _moments,
        "panel_rated_a": _each(lambda v: f"{v:.0f} A"),
        "ambient_temp": _each(lambda v: f"{v:.0f} °F"),
        "device_temp": _each(lambda v: f"{v:.0f} °F"),
        "termination_temp": _each(lambda v: f"{v:.0f}°F"),
        "conductor_temp": _each(lambda v: f"{v:.0f}°F"),
        "position": _each(int),
        "poles": _each(int),
        "rated_a": _each(lambda v: f"{_plain(v)}A"),
        "current_a": _each(lambda v: f"{v:.1f}A"),
        "load_minutes": _each(lambda v: f"{v:.0f} min"),
    },
)


def _poles_rating(frame: pd.DataFrame) -> Cells:
    pairs = zip(frame["poles"].tolist(), frame["rated_a"].tolist(), strict=True)
    return np.array([None if a != a else f"{n:.0f}P{_plain(a)}" for n, a in pairs], dtype=object)


CELSIUS_CSV = Style(
    name="celsius_csv",
    kind="csv",
    separator=";",
    temp_unit="degC",
    headers={
        "inspection_id": "visit",
        "inspected_at": "taken at",
        "inspector_id": "person",
        "camera_id": "thermal camera",
        "clamp_id": "ammeter",
        "site_id": "address key",
        "panel_id": "board",
        "panel_location": "place",
        "panel_rated_a": "board A",
        "ambient_temp": "air °C",
        "device_temp": "surface °C",
        "termination_temp": "terminal °C",
        "conductor_temp": "cable °C",
        "position": "way",
        "device_class": "sort",
        "make": "maker",
        "rated_a": "size",
        "current_a": "load A",
        "conductor_awg": "cable AWG",
        "conductor_material": "metal",
        "emissivity": "epsilon",
        "reflected_temp": "T refl °C",
        "load_minutes": "minutes on",
        "note": "what else",
    },
    classes={
        "standard": ("thermal-magnetic", "TM", "Std"),
        "main": ("main switch", "main"),
        "afci": ("arc", "AFCI"),
        "gfci": ("earth", "GFCI"),
        "dual_function": ("arc+earth", "AFCI/GFCI combo"),
        "surge_protector": ("overvoltage",),
        "energy_monitor": ("meter",),
        "other_electronic": ("electronic",),
    },
    formats={
        "inspected_at": _dates("%Y-%m-%dT%H:%M:%S"),
        "panel_rated_a": WHOLE,
        "emissivity": _each(lambda v: f"{v:.2f}".replace(".", ",")),
        **{name: _each(_comma) for name in (*TEMPERATURES, "current_a")},
    },
)

STYLES = {s.name: s for s in (FAHRENHEIT_CSV, WORKBOOK, CELSIUS_CSV)}


def in_unit(frame: pd.DataFrame, style: Style) -> pd.DataFrame:
    """Return the readings with their temperatures [°C] turned into the style's unit."""
    factor, offset = temperature_scale(style.temp_unit)
    turned = frame.copy()
    for name in TEMPERATURES:
        turned[name] = (frame[name] - offset) / factor
    turned["temp_unit"] = style.temp_unit
    return turned


def _spelled(values: pd.Series, style: Style, rng: np.random.Generator) -> Cells:
    pick = rng.random(len(values)).tolist()
    words = [style.classes[c] for c in values.tolist()]
    return np.array([w[int(u * len(w))] for w, u in zip(words, pick, strict=True)], dtype=object)


def as_cells(frame: pd.DataFrame, style: Style, rng: np.random.Generator) -> dict[str, Cells]:
    """Return the sheet's columns as cells: canonical column -> texts, None where empty."""
    cells: dict[str, Cells] = {}
    for name in style.headers:
        values = frame[name]
        usual = NUMBER if pd.api.types.is_numeric_dtype(values) else _text
        if name == "device_class":
            cells[name] = _spelled(values, style, rng)
        elif name == "rated_a" and "poles" not in style.headers:
            cells[name] = _poles_rating(frame)
        else:
            cells[name] = style.formats.get(name, usual)(values)
    return cells
