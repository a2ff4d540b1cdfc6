"""Writes what belongs to a quarter: its page, and beside it the other files of the folder."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from analytics.errors import NotEnoughDataError
from analytics.trends import study
from dashboards.pages.quarter import page
from dashboards.pages.quarter_index import index_page
from dashboards.pictures import Pictures, write_pictures
from dashboards.quarter import checked, collect, collect_overview, held_quarters
from dashboards.quarter_records import QuarterRecord
from dashboards.quarter_tables import write_tables
from dashboards.render import index_path, page_path, render, write

if TYPE_CHECKING:
    from analytics.trends import Study
    from analytics.warehouse import Warehouse


BESIDE = (
    ("diagnostics.html", "What the verdicts rest on"),
    ("tuning.html", "Where to draw the lines"),
    ("pocket.html", "Judge a reading on a phone"),
)
"""Pages that the index and every quarter link where they are in the folder: file, words."""


@dataclass(frozen=True)
class Written:
    """What was written of a quarter, and where."""

    record: QuarterRecord
    page: Path
    tables: Path
    index: Path
    pictures: Pictures | None = None


def write_quarter(
    warehouse: Warehouse, quarter: str, out: Path, unit: str, form: str = ""
) -> Written:
    """Write a quarter such as 2026Q3 into a folder: its tables, its page, the index of all anew.

    Rises in `unit` (degF or degC); with `form`, svg or png, the figures as pictures too. Every
    file is whole or not there, and the index is written last.
    Raises UsageError for what is no quarter or unit.
    """
    checked(quarter)
    looked = _look(warehouse, unit)
    made = _write(warehouse, quarter, looked, out, unit, form)
    _write_index(warehouse, looked, out, made.record)
    return made


def write_all(warehouse: Warehouse, out: Path, unit: str, form: str = "") -> list[Written]:
    """Write the pages of all quarters that the verdicts cover, earliest first, and the index."""
    looked = _look(warehouse, unit)
    made = [_write(warehouse, one, looked, out, unit, form) for one in held_quarters(warehouse)]
    _write_index(warehouse, looked, out, made[-1].record if made else None)
    return made


def write_index(warehouse: Warehouse, out: Path, unit: str) -> Path:
    """Write `index.html` anew, a row a quarter, linked to the pages that are in the folder."""
    return _write_index(warehouse, _look(warehouse, unit), out, None)


def _look(warehouse: Warehouse, unit: str) -> Study | None:
    """Look at all quarters once; None where nothing was judged yet."""
    try:
        return study(warehouse, unit)
    except NotEnoughDataError:
        return None


def _write(
    warehouse: Warehouse, quarter: str, looked: Study | None, out: Path, unit: str, form: str
) -> Written:
    record = collect(warehouse, quarter, looked.upto(quarter) if looked else None)
    tables = write_tables(warehouse, record, out)
    path = page_path(out, quarter)
    made = page(record, unit, tables.name, _beside(out))
    write(render(made), path)
    pictures = None
    if form:
        pictures = write_pictures(made.figures, out / f"{quarter}-figures", form)
    return Written(record, path, tables, index_path(out), pictures)


def _write_index(
    warehouse: Warehouse, looked: Study | None, out: Path, known: QuarterRecord | None
) -> Path:
    """Write the index; `known` is spared gathering where it is the record of the last quarter."""
    held = held_quarters(warehouse)
    last = held[-1] if held else ""
    record = known
    if record is None or (held and record.quarter != last):
        trends = looked.upto(last) if looked else None
        record = collect_overview(warehouse, last, trends)
    pages = {one: page_path(out, one).name for one in held if page_path(out, one).exists()}
    path = index_path(out)
    write(render(index_page(record, pages, _beside(out)), "index"), path)
    return path


def _beside(out: Path) -> tuple[tuple[str, str], ...]:
    return tuple((name, words) for name, words in BESIDE if (out / name).exists())
