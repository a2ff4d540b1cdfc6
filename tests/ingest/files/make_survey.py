"""Lay `survey.txt` out as a small firm keeps its workbook: a sheet a quarter, each its own way.

Q1, Q2 and Q4 have merged titles, two header rows, panel and date once in merged cells, a line of
totals. Q3 has one header row and each panel on a line of its own. The next year's file has its
columns in another order.
"""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

Cell = str | float | dt.date | None
Block = tuple[str, dt.date, list[list[Cell]]]
"""A panel, its date, its rows as typed."""
GROUPS = ("Where & when", None, None, "Device", None, None, "Load", "Temperatures (°F)", None, None)
HEAD = (
    "Panel", "Date", "Slot", "Type", "Breaker", "Circuit", "Amps", "Device", "Panel air", "Remarks",
)  # fmt: skip
ONE_ROW_HEAD = (
    "Slot", "Type", "Breaker", "Circuit", "Amps", "Device temp (°F)", "Panel air (°F)", "Date",
    "Remarks",
)  # fmt: skip


def blocks(sheet: str) -> list[Block]:
    """Return the panels of one sheet."""
    found: list[Block] = []
    text = Path(__file__).with_name("survey.txt").read_text(encoding="utf-8")
    here = ""
    for line in text.splitlines():
        if line.startswith("== "):
            here = line[3:]
        elif line.startswith("= ") and here == sheet:
            panel, _, date = line[2:].rpartition(", ")
            found.append((panel, dt.date.fromisoformat(date), []))
        elif "|" in line and here == sheet and not line.startswith("#"):
            found[-1][2].append([_cell(text) for text in line.split("|")])
    return found


def _cell(text: str) -> Cell:
    try:
        return float(text)
    except ValueError:
        return text.strip() or None


def write(path: Path) -> Path:
    """Write the year's workbook."""
    book = Workbook()
    for name in ("Q1", "Q2", "Q4 (open)"):
        _merged(book.create_sheet(name), blocks(name))
    _lines(book.create_sheet("Q3", 2), blocks("Q3"))
    book.create_sheet("Legend").append(["Std", "thermal-magnetic breaker"])
    del book["Sheet"]
    book.save(path)
    return path


def write_next(path: Path) -> Path:
    """Write the next year's first sheet, amps and temperatures before the slot."""
    book = Workbook()
    sheet = book.create_sheet("Q1 2026")
    order = (0, 1, 6, 7, 8, 2, 3, 4, 9)
    sheet.append([None, None, None, "Temperatures (°F)", None, "Device"])
    sheet.append([HEAD[i] for i in order])
    for panel, date, rows in blocks("Q1 2026"):
        for row in rows:
            cells = [panel, date, *row]
            sheet.append([cells[i] for i in order])
    del book["Sheet"]
    book.save(path)
    return path


def _merged(sheet: Worksheet, panels: list[Block]) -> None:
    sheet.append(["Panel thermal survey"])
    sheet.append(["Camera emissivity 0.95. All temperatures deg F."])
    sheet.append([])
    sheet.append(GROUPS)
    sheet.append(HEAD)
    for area in ("A1:J1", "A2:J2", "A4:C4", "D4:F4", "H4:I4"):
        sheet.merge_cells(area)
    for panel, date, rows in panels:
        top = sheet.max_row + 1
        for number, row in enumerate(rows):
            sheet.append([*((panel, date) if number == 0 else (None, None)), *row])
        sheet.merge_cells(f"A{top}:A{sheet.max_row}")
        sheet.merge_cells(f"B{top}:B{sheet.max_row}")
    count = sum(len(rows) for _, _, rows in panels)
    sheet.append([])
    sheet.append(["TOTAL devices", None, count, None, None, None, None, "highest", 131.6])
    sheet.append(["Reviewed: ______"])


def _lines(sheet: Worksheet, panels: list[Block]) -> None:
    sheet.append(["Panel thermal survey"])
    sheet.append([])
    sheet.append(ONE_ROW_HEAD)
    for panel, date, rows in panels:
        sheet.append([f"PANEL: {panel}"])
        sheet.merge_cells(f"A{sheet.max_row}:I{sheet.max_row}")
        for row in rows:
            sheet.append([*row[:7], date, row[7]])
        sheet.append([])
    sheet.append(["Total", sum(len(rows) for _, _, rows in panels)])
