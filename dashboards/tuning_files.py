"""Writes the tuning page, and beside it the devices to examine as a sheet and as a table."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from analytics.export import write_rows
from dashboards.pages import examine
from dashboards.pages.tuning import beside_in, page
from dashboards.render import render, write

if TYPE_CHECKING:
    from analytics.warehouse import Warehouse
    from dashboards.tuning import TuningRecord

COLUMNS = (
    "inspection_id", "panel_id", "position", "inspected_at", "office_id", "device_class", "verdict",
    "probability", "drawn_share",
)  # fmt: skip
"""Of the table: what names a device, and why it was drawn."""
BLANKS = ("found_at", "finding", "examined_by_licensed", "note")
"""Columns left empty, to be filled in and read in as findings."""


@dataclass(frozen=True)
class WrittenTuning:
    """Where the page, the sheet and the table are."""

    page: Path
    sheet: Path
    table: Path


def write_tuning(warehouse: Warehouse, record: TuningRecord, folder: Path) -> WrittenTuning:
    """Write all three into a folder, what was there before replaced."""
    made = WrittenTuning(
        *(folder / name for name in ("tuning.html", "examine.html", "examine.csv"))
    )
    write(render(examine.page(record), "examine"), made.sheet)
    rows = [asdict(one) for one in record.plan.draws]
    columns: dict[str, list[object]] = {name: [row[name] for row in rows] for name in COLUMNS}
    columns |= {name: [""] * len(rows) for name in BLANKS}
    write_rows(warehouse, columns, made.table)
    write(render(page(record, beside_in(folder)), "tuning"), made.page)
    return made
