"""Writes what belongs to a quarter: its page, and beside it the other files of the folder."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from analytics.errors import NotEnoughDataError
from analytics.trends import study
from dashboards.pages.quarter import page
from dashboards.quarter import checked, collect, held_quarters
from dashboards.quarter_records import QuarterRecord
from dashboards.render import page_path, render, write

if TYPE_CHECKING:
    from analytics.trends import Study
    from analytics.warehouse import Warehouse


@dataclass(frozen=True)
class Written:
    """What was written of a quarter, and where."""

    record: QuarterRecord
    page: Path


def write_quarter(warehouse: Warehouse, quarter: str, out: Path, unit: str) -> Written:
    """Write the page of a quarter such as 2026Q3 into a folder, rises in `unit` (degF or degC).

    Every file is whole or not there. Raises UsageError for what is no quarter or unit.
    """
    return _write(warehouse, checked(quarter), _look(warehouse, unit), out, unit)


def write_all(warehouse: Warehouse, out: Path, unit: str) -> list[Written]:
    """Write the pages of all quarters that the verdicts cover, the earliest first."""
    looked = _look(warehouse, unit)
    return [_write(warehouse, one, looked, out, unit) for one in held_quarters(warehouse)]


def _look(warehouse: Warehouse, unit: str) -> Study | None:
    """Look at all quarters once; None where nothing was judged yet."""
    try:
        return study(warehouse, unit)
    except NotEnoughDataError:
        return None


def _write(
    warehouse: Warehouse, quarter: str, looked: Study | None, out: Path, unit: str
) -> Written:
    record = collect(warehouse, quarter, looked.upto(quarter) if looked else None)
    path = page_path(out, quarter)
    write(render(page(record, unit)), path)
    return Written(record, path)
