"""Workbooks whose bytes depend on nothing but their cells.

openpyxl makes the workbook around an empty sheet; the sheet's own part is written here, which is
several times faster, and the archive is packed again with fixed dates.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable, Sequence
from datetime import datetime
from functools import cache
from pathlib import Path
from xml.sax.saxutils import escape

from openpyxl import Workbook
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

FIXED = datetime(2020, 1, 1)
"""The only date that any part of a workbook carries; chosen."""
STAMP = re.compile(rb"(<dcterms:(?:created|modified)[^>]*>)[^<]*")
DAY_ZERO = datetime(1899, 12, 30)
"""Day 0 of a spreadsheet's calendar (ECMA-376, 1900 date system, after February 1900)."""
PLAIN, DATE, BOLD = 0, 1, 2
SHEET = "xl/worksheets/sheet1.xml"
OPENING = (
    '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
)


@cache
def _frame() -> dict[str, bytes]:
    """Return the parts of a workbook of one sheet, with a date format and a bold font known."""
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.title = "Scans"
    sheet["A1"] = FIXED
    sheet["A2"] = "title"
    sheet["A2"].font = Font(bold=True)
    buffer = io.BytesIO()
    book.save(buffer)
    with zipfile.ZipFile(buffer) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def _cell(reference: str, value: object, style: int) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime):
        days = (value - DAY_ZERO).total_seconds() / 86400.0
        return f'<c r="{reference}" s="{DATE}"><v>{days:.10f}</v></c>'
    if isinstance(value, int | float):
        return f'<c r="{reference}"><v>{value}</v></c>'
    text = escape(str(value))
    return f'<c r="{reference}" s="{style}" t="inlineStr"><is><t>{text}</t></is></c>'


def _row(number: int, values: Sequence[object], letters: list[str], style: int) -> str:
    cells = [_cell(f"{c}{number}", v, style) for c, v in zip(letters, values, strict=False)]
    return f'<row r="{number}">{"".join(cells)}</row>'


def _sheet(title: Sequence[str], header: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    letters = [get_column_letter(i + 1) for i in range(len(header))]
    parts = [_row(i + 1, [text], letters, BOLD) for i, text in enumerate(title)]
    first = len(title) + 2 if title else 1
    parts.append(_row(first, header, letters, BOLD))
    parts += [_row(first + 1 + i, row, letters, PLAIN) for i, row in enumerate(rows)]
    merged = [f'<mergeCell ref="A{i + 1}:{letters[-1]}{i + 1}"/>' for i in range(len(title))]
    merge = f'<mergeCells count="{len(merged)}">{"".join(merged)}</mergeCells>' if merged else ""
    return f"{OPENING}{''.join(parts)}</sheetData>{merge}</worksheet>"


def write_workbook(
    path: Path, title: Sequence[str], header: Sequence[str], rows: Iterable[Sequence[object]]
) -> None:
    """Write one sheet: title rows merged over the whole width, an empty row, header, rows."""
    parts = dict(_frame())
    parts[SHEET] = _sheet(title, header, rows).encode()
    stamp = FIXED.strftime("%Y-%m-%dT%H:%M:%SZ").encode()
    parts["docProps/core.xml"] = STAMP.sub(rb"\g<1>" + stamp, parts["docProps/core.xml"])
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=2) as archive:
        for name in sorted(parts, key=lambda n: (n != "[Content_Types].xml", n)):
            entry = zipfile.ZipInfo(name, (FIXED.year, FIXED.month, FIXED.day, 0, 0, 0))
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, parts[name], zipfile.ZIP_DEFLATED, compresslevel=2)
