"""Clerical errors: a catalogue of what goes wrong between the panel and the sheet.

Every error has a code. Number errors change the readings before they are written down, cell
errors change what is written, row errors change how often. The truth file keeps the code.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pandas as pd

from synthetic_data.fleet import Bools, Ints
from synthetic_data.styles import Cells, Style

Chooser = Callable[[pd.DataFrame, Style], Bools]
Numbers = dict[str, np.ndarray]
NumberChange = Callable[[Numbers, Ints, Style, np.random.Generator], None]
CellChange = Callable[[dict[str, Cells], Ints, np.random.Generator], None]

LATER_DAYS = 400
"""How far ahead a mistyped date lies at least, counted from the last quarter's end [d]; chosen."""


@dataclass(frozen=True)
class Error:
    """One kind of clerical error: its weight among all, where it can happen, what it does."""

    code: str
    weight: float
    can_happen: Chooser
    change_numbers: NumberChange | None = None
    change_cells: CellChange | None = None
    is_row_error: bool = False


def _anywhere(frame: pd.DataFrame, style: Style) -> Bools:
    return np.ones(len(frame), bool)


def _is_clamped(frame: pd.DataFrame, style: Style) -> Bools:
    return (frame["current_a"] >= 2.0).to_numpy()


def _is_degf(style: Style) -> bool:
    return style.temp_unit == "degF"


def _difference_k(frame: pd.DataFrame, style: Style) -> pd.Series:
    per_k = 1.8 if _is_degf(style) else 1.0
    return (frame["device_temp"] - frame["ambient_temp"]) / per_k


def _is_warm(frame: pd.DataFrame, style: Style) -> Bools:
    return (_difference_k(frame, style) >= 6.0).to_numpy()


def _is_cool(frame: pd.DataFrame, style: Style) -> Bools:
    return _difference_k(frame, style).between(-2.0, 8.0).to_numpy()


def _is_three_digits(frame: pd.DataFrame, style: Style) -> Bools:
    return (frame["device_temp"] >= 100.0).to_numpy()


def _has_thick_wire(frame: pd.DataFrame, style: Style) -> Bools:
    return ((frame["rated_a"] >= 30) & (frame["position"] > 0)).to_numpy()


def _other_unit(columns: Numbers, rows: Ints, style: Style, rng: np.random.Generator) -> None:
    """Put a °C number into a °F sheet or the other way round, in the device's cell or in both."""
    is_both = rng.random(len(rows)) < 0.4
    for name, at in (("device_temp", rows), ("ambient_temp", rows[is_both])):
        value = columns[name][at]
        columns[name][at] = (value - 32.0) / 1.8 if _is_degf(style) else value * 1.8 + 32.0


def _swapped(columns: Numbers, rows: Ints, style: Style, rng: np.random.Generator) -> None:
    ambient, device = columns["ambient_temp"], columns["device_temp"]
    ambient[rows], device[rows] = device[rows], ambient[rows]


def _scaled(name: str, factor: float) -> NumberChange:
    def change(columns: Numbers, rows: Ints, style: Style, rng: np.random.Generator) -> None:
        columns[name][rows] *= factor

    return change


def _odd_rating(columns: Numbers, rows: Ints, style: Style, rng: np.random.Generator) -> None:
    columns["rated_a"][rows] = rng.choice([12.0, 17.0, 18.0, 27.0, 33.0, 51.0], len(rows))


def _future(columns: Numbers, rows: Ints, style: Style, rng: np.random.Generator) -> None:
    days = rng.integers(4, 60, len(rows)) * 365 + LATER_DAYS
    columns["inspected_at"][rows] += days.astype("m8[D]")


def _absurd_load(columns: Numbers, rows: Ints, style: Style, rng: np.random.Generator) -> None:
    times = rng.uniform(2.5, 8.0, len(rows))
    columns["current_a"][rows] = np.round(columns["rated_a"][rows] * times, 1)


def _warm_air(columns: Numbers, rows: Ints, style: Style, rng: np.random.Generator) -> None:
    """Let the thermometer hang beside a lamp or in the sun: ambient above a cool device."""
    per_k = 1.8 if _is_degf(style) else 1.0
    above = per_k * rng.uniform(4.0, 15.0, len(rows))
    columns["ambient_temp"][rows] = columns["device_temp"][rows] + above


def _thin_wire(columns: Numbers, rows: Ints, style: Style, rng: np.random.Generator) -> None:
    columns["conductor_awg"][rows] = "14"


def _lost_digit(columns: Numbers, rows: Ints, style: Style, rng: np.random.Generator) -> None:
    columns["device_temp"][rows] = np.floor(columns["device_temp"][rows] / 10.0)


REQUIRED = ("inspection_id", "panel_id", "device_class", "rated_a", "ambient_temp", "device_temp")
WORDS = ("n/a", "see photo", "warm", "??", "ok", "broken display")
UNKNOWN_CLASSES = ("type X", "see label", "tandem?", "old one")


def _emptied(cells: dict[str, Cells], rows: Ints, rng: np.random.Generator) -> None:
    for row, pick in zip(rows, rng.integers(0, len(REQUIRED), len(rows)), strict=True):
        cells[REQUIRED[pick]][row] = None


def _worded(cells: dict[str, Cells], rows: Ints, rng: np.random.Generator) -> None:
    names = ("device_temp", "ambient_temp", "current_a")
    for row, name in zip(rows, rng.integers(0, 3, len(rows)), strict=True):
        cells[names[name]][row] = WORDS[int(rng.integers(0, len(WORDS)))]


def _unknown_class(cells: dict[str, Cells], rows: Ints, rng: np.random.Generator) -> None:
    cells["device_class"][rows] = np.array(UNKNOWN_CLASSES, object)[rng.integers(0, 4, len(rows))]


def _no_position(cells: dict[str, Cells], rows: Ints, rng: np.random.Generator) -> None:
    cells["position"][rows] = None


ERRORS = (
    Error("other_unit", 1.2, _anywhere, _other_unit),
    Error("swapped_temperatures", 1.0, _is_warm, _swapped),
    Error("tenfold_current", 1.2, _is_clamped, _scaled("current_a", 10.0)),
    Error("negative_current", 0.5, _is_clamped, _scaled("current_a", -1.0)),
    Error("absurd_load", 0.5, _is_clamped, _absurd_load),
    Error("odd_rating", 0.8, _anywhere, _odd_rating),
    Error("future_date", 0.5, _anywhere, _future),
    Error("ambient_above_device", 1.0, _is_cool, _warm_air),
    Error("lost_digit", 0.6, _is_three_digits, _lost_digit),
    Error("thin_conductor", 0.6, _has_thick_wire, _thin_wire),
    Error("missing_cell", 1.0, _anywhere, change_cells=_emptied),
    Error("text_in_number", 0.8, _anywhere, change_cells=_worded),
    Error("unknown_class", 0.7, _anywhere, change_cells=_unknown_class),
    Error("blank_position", 0.6, _anywhere, change_cells=_no_position),
    Error("duplicate_row", 1.5, _anywhere, is_row_error=True),
    Error("corrected_later", 0.8, _is_warm, _scaled("device_temp", 1.12)),
)
"""The catalogue. A file handed in twice is no error of a row: `write` copies whole files."""

CHANGED = (
    "ambient_temp", "device_temp", "current_a", "rated_a", "inspected_at", "conductor_awg",
)  # fmt: skip
"""The columns that a number error can change."""
MOST_RARE = 40.0
"""An error that few rows can have is at most so many times likelier there [1]; chosen."""


def choose(frame: pd.DataFrame, style: Style, share: float, rng: np.random.Generator) -> np.ndarray:
    """Return the error code of each row, “” for most; a kind only where it can happen.

    A kind that few rows can have is the likelier in those, so that all kinds turn up by weight.

    Args: frame, an office's readings in the style's unit; share of rows with an error [1].
    """
    weights = np.array([e.weight for e in ERRORS])
    possible = np.stack([e.can_happen(frame, style) for e in ERRORS], axis=1)
    rarity = np.minimum(1.0 / np.maximum(possible.mean(axis=0), 1e-9), MOST_RARE)
    chance = possible * share * weights / weights.sum() * rarity
    edges = np.cumsum(chance, axis=1)
    pick = np.sum(rng.random((len(frame), 1)) >= edges, axis=1)
    chosen: np.ndarray = np.array([*(e.code for e in ERRORS), ""])[pick]
    return chosen


def spoil_numbers(
    frame: pd.DataFrame, codes: np.ndarray, style: Style, rng: np.random.Generator
) -> pd.DataFrame:
    """Return the readings with the number errors in them."""
    columns = {name: frame[name].to_numpy(copy=True) for name in CHANGED}
    for error in ERRORS:
        rows = np.flatnonzero(codes == error.code)
        if error.change_numbers is not None and len(rows):
            error.change_numbers(columns, rows, style, rng)
    return frame.assign(**columns)


def spoil_cells(cells: dict[str, Cells], codes: np.ndarray, rng: np.random.Generator) -> None:
    """Put the cell errors into the cells, in place."""
    for error in ERRORS:
        rows = np.flatnonzero(codes == error.code)
        if error.change_cells is not None and len(rows):
            error.change_cells(cells, rows, rng)


def repeated(codes: np.ndarray) -> Ints:
    """Return the rows of the sheet in order, those with a row error twice."""
    twice = np.isin(codes, [e.code for e in ERRORS if e.is_row_error])
    order: Ints = np.repeat(np.arange(len(codes)), 1 + twice)
    return order
