"""Clerical errors of a firm's spreadsheet: the slips people make when they note or retype."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pandas as pd

from tests.guarantees.transient_parts import Array

REQUIRED = ("inspected_at", "ambient_temp", "device_temp", "rated_a", "position", "device_class")


def _lose_digit(value: Any) -> Any:
    digits = str(round(float(value)))
    return float(digits[:-1]) if len(digits) > 1 else value


def _celsius(row: dict[str, Any], rng: np.random.Generator) -> None:
    names = ("device_temp",) if rng.random() < 0.6 else ("device_temp", "ambient_temp")
    for name in names:
        row[name] = round((float(row[name]) - 32.0) / 1.8, 1)


def _swap(row: dict[str, Any], rng: np.random.Generator) -> None:
    row["device_temp"], row["ambient_temp"] = row["ambient_temp"], row["device_temp"]


def _tenfold(row: dict[str, Any], rng: np.random.Generator) -> None:
    row["current_a"] = round(10.0 * float(row["current_a"]), 1)


def _missing(row: dict[str, Any], rng: np.random.Generator) -> None:
    row[str(rng.choice(REQUIRED))] = None


def _rating(row: dict[str, Any], rng: np.random.Generator) -> None:
    row["rated_a"] = int(rng.choice((2, 13, 17, 23, 37, 1500, 0)))


def _future(row: dict[str, Any], rng: np.random.Generator) -> None:
    row["inspected_at"] = f"20{rng.integers(35, 99)}{str(row['inspected_at'])[4:]}"


def _digit(row: dict[str, Any], rng: np.random.Generator) -> None:
    row["device_temp"] = _lose_digit(row["device_temp"])


def _wordy(row: dict[str, Any], rng: np.random.Generator) -> None:
    name = "device_temp" if row["current_a"] != row["current_a"] or rng.random() < 0.5 else ""
    row[name or "current_a"] = str(rng.choice(("hot", "see photo", "??", "1l0.2", "warm", "O.K.")))


SLIPS: dict[str, Callable[[dict[str, Any], np.random.Generator], None]] = {
    "celsius_number": _celsius,
    "swapped": _swap,
    "current_tenfold": _tenfold,
    "missing_required": _missing,
    "impossible_rating": _rating,
    "future_date": _future,
    "digit_lost": _digit,
    "text_in_number": _wordy,
}


def _choose(
    rng: np.random.Generator, readings: pd.DataFrame, count: int
) -> tuple[dict[int, str], Array]:
    """Return which row gets which error, and the rows that are filed twice."""
    names = [*SLIPS, "duplicate"]
    clamped = readings["current_a"].notna().to_numpy() & (readings["current_a"] != 0.0).to_numpy()
    order = rng.permutation(len(readings))
    tens = order[clamped[order]][: count // len(names)]
    rest = order[~np.isin(order, tens)][: count - tens.size]
    copies, rest = rest[: count // len(names)], rest[count // len(names) :]
    others = [name for name in SLIPS if name != "current_tenfold"]
    chosen = {int(row): str(rng.choice(others)) for row in rest}
    return chosen | {int(row): "current_tenfold" for row in tens}, np.sort(copies)


def add_slips(
    rng: np.random.Generator, readings: pd.DataFrame, share: float
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Return the readings with clerical errors, and code and materiality row by row.

    An exact duplicate is an extra row at the end of the frame; its original row is good and is
    only marked `is_duplicated`. An error is material when it moves the rise by 3 K (5.4 °F) or the
    load fraction by 0.15, or makes the row unusable.
    """
    size = len(readings)
    chosen, copies = _choose(rng, readings, round(share * size))
    columns = {name: readings[name].to_list() for name in readings}
    code, material = [""] * size, np.zeros(size, dtype=bool)
    for row, name in chosen.items():
        record = {column: values[row] for column, values in columns.items()}
        before = dict(record)
        SLIPS[name](record, rng)
        code[row], material[row] = name, _matters(before, record)
        for column, value in record.items():
            columns[column][row] = value
    frame = pd.DataFrame({n: pd.Series(v, dtype=object) for n, v in columns.items()})
    marks = pd.DataFrame(
        {
            "clerical_error": code,
            "is_material_error": material,
            "is_duplicated": np.isin(np.arange(size), copies),
        }
    )
    return pd.concat([frame, frame.iloc[copies]], ignore_index=True), marks


def _matters(before: dict[str, Any], after: dict[str, Any]) -> bool:
    try:
        rise = [float(row["device_temp"]) - float(row["ambient_temp"]) for row in (before, after)]
        load = [float(row["current_a"]) / float(row["rated_a"]) for row in (before, after)]
    except (TypeError, ValueError, ZeroDivisionError):
        return True
    other = any(before[name] != after[name] for name in ("inspected_at", "rated_a", "position"))
    moved = abs(rise[1] - rise[0]) >= 5.4 or abs(load[1] - load[0]) >= 0.15
    return bool(moved or other or after["device_class"] is None)
