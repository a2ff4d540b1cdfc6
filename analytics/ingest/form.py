"""The blank field form: a workbook with drop-down lists and a filled example, or a CSV."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import TYPE_CHECKING

from analytics import columns
from analytics.drafts import put_in_place
from analytics.errors import UsageError
from analytics.ingest.sheets import EXAMPLE_MARK
from analytics.notices import CAUTIONS, SHORT_CAUTION
from analytics.units import UNIT_SYMBOL, from_degc

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

FORM_ROWS = 400
"""Rows that carry drop-down lists; chosen, a day's panels."""
LISTS: dict[str, tuple[str, ...]] = {
    "device_class": tuple(columns.DEVICE_CLASSES),
    "panel_location": columns.PANEL_LOCATIONS,
    "conductor_material": columns.CONDUCTOR_MATERIALS,
    "poles": ("1", "2"),
    "rated_a": ("15", "20", "25", "30", "40", "50", "60", "70", "80", "100", "125", "150", "200"),
}
_EXAMPLES: tuple[dict[str, object], ...] = (
    {
        "position": 1,
        "device_class": "standard",
        "rated_a": 20,
        "device_degc": 29.0,
        "current_a": 9.2,
    },
    {"position": 2, "device_class": "afci", "rated_a": 15, "device_degc": 34.5},
    {
        "position": 3,
        "device_class": "standard",
        "poles": 2,
        "rated_a": 30,
        "device_degc": 36.0,
        "termination_degc": 37.5,
        "current_a": 19.6,
    },
)
_COMMON: dict[str, object] = {
    "inspection_id": "visit-0001",
    "inspected_at": "2026-03-02 10:30",
    "inspector_id": "inspector-1",
    "camera_id": "camera-1",
    "panel_id": "panel-0001",
    "panel_location": "basement",
    "ambient_degc": 20.0,
    "poles": 1,
    "load_minutes": 30,
}


def write_form(out: Path, unit: str = "degF") -> None:
    """Write a blank form to `out` (.xlsx or .csv) with temperatures in `unit` [degF or degC].

    Raises UsageError for another ending or unit, or where `out` is there already.
    """
    if unit not in UNIT_SYMBOL:
        raise UsageError(f"“{unit}” is not a temperature unit.", "Use degF or degC.")
    if out.exists():
        raise UsageError(f"{out} is there already; nothing was written.", "Choose another name.")
    if out.suffix not in (".xlsx", ".csv"):
        raise UsageError(f"“{out.name}” must end in .xlsx or .csv.")
    out.parent.mkdir(parents=True, exist_ok=True)
    with put_in_place(out) as draft:
        (_write_workbook if out.suffix == ".xlsx" else _write_csv)(draft, unit)


def headers(unit: str) -> list[str]:
    """Return the form's headers: canonical names, each temperature with its unit."""
    return [_header(column, unit) for column in columns.READING_COLUMNS]


def _header(column: columns.Column, unit: str) -> str:
    if column.unit == "°C":
        return f"{column.name.removesuffix('_degc')}_temp ({UNIT_SYMBOL[unit]})"
    return column.name


def _write_csv(path: Path, unit: str) -> None:
    with path.open("w", newline="", encoding="utf-8-sig") as file:
        csv.writer(file).writerows([[SHORT_CAUTION], headers(unit)])


def _write_workbook(path: Path, unit: str) -> None:
    from openpyxl import Workbook

    book = Workbook()
    blank = book.create_sheet("Readings", 0)
    blank.append(headers(unit))
    _dress(blank)
    example = book.create_sheet("Example", 1)
    example.append([EXAMPLE_MARK])
    example.append(headers(unit))
    for row in _EXAMPLES:
        example.append(_example_row(row, unit))
    notes = book.create_sheet("Read me", 2)
    for line in (*_meanings(), "", *CAUTIONS):
        notes.append([line])
    notes.column_dimensions["A"].width = 110
    del book["Sheet"]
    book.save(path)


def _example_row(row: dict[str, object], unit: str) -> list[object]:
    filled = {**_COMMON, **row}
    return [_cell(filled.get(column.name), column, unit) for column in columns.READING_COLUMNS]


def _cell(value: object, column: columns.Column, unit: str) -> object:
    if column.unit == "°C" and isinstance(value, float):
        return round(from_degc(value, unit), 1)
    return value


def _meanings() -> list[str]:
    return [
        f"{column.name}{' (required)' if column.is_required else ''}: {column.meaning}"
        f"{', ' + column.unit if column.unit not in ('', '1', '°C') else ''}"
        for column in columns.READING_COLUMNS
    ]


def _dress(sheet: Worksheet) -> None:
    """Freeze the header and put drop-down lists under the columns that have one."""
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter
    from openpyxl.worksheet.datavalidation import DataValidation

    sheet.freeze_panes = "A2"
    for number, column in enumerate(columns.READING_COLUMNS, start=1):
        letter = get_column_letter(number)
        sheet.column_dimensions[letter].width = max(12, len(column.name) + 4)
        sheet[f"{letter}1"].font = Font(bold=column.is_required)
        if column.name in LISTS:
            choices = DataValidation("list", formula1=f'"{",".join(LISTS[column.name])}"')
            choices.allow_blank = True
            choices.add(f"{letter}2:{letter}{FORM_ROWS + 1}")
            sheet.add_data_validation(choices)
