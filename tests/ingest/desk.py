"""A clerk's desk for the tests: sheets made from rows, and an open store to take them into."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from analytics.ingest.load import ingest
from analytics.ingest.report import FileReport, IngestReport
from analytics.warehouse import Warehouse

NOW = datetime(2026, 6, 1, 12, 0)
HEADERS = (
    "inspection_id", "inspected_at", "panel_id", "panel_location", "ambient_temp", "device_temp",
    "termination_temp", "temp_unit", "position", "device_class", "poles", "rated_a", "current_a",
    "conductor_awg", "conductor_material", "load_minutes", "note",
)  # fmt: skip
GOOD: dict[str, object] = {
    "inspection_id": "V1",
    "inspected_at": "2026-03-02 10:30",
    "panel_id": "P1",
    "panel_location": "basement",
    "ambient_temp": "70",
    "device_temp": "80",
    "temp_unit": "degF",
    "position": "1",
    "device_class": "standard",
    "poles": "1",
    "rated_a": "20",
    "current_a": "8.0",
    "conductor_awg": "12",
    "load_minutes": "30",
}


def panel(count: int = 8, **common: object) -> list[dict[str, object]]:
    """Return the rows of one ordinary panel in °F, slots 1 to `count`."""
    rows: list[dict[str, object]] = []
    for number in range(1, count + 1):
        rows.append(GOOD | {"position": number, "device_temp": 76 + number} | common)
    return rows


def text(
    rows: Sequence[Mapping[str, object]], headers: Sequence[str] = HEADERS, delimiter: str = ","
) -> str:
    """Return the rows as the text of a sheet."""
    out = io.StringIO()
    writer = csv.DictWriter(
        out, headers, delimiter=delimiter, lineterminator="\n", extrasaction="ignore"
    )
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def write(
    path: Path, rows: Sequence[Mapping[str, object]], headers: Sequence[str] = HEADERS
) -> Path:
    """Write the rows as a CSV sheet."""
    path.write_text(text(rows, headers), encoding="utf-8")
    return path


def take(warehouse: Warehouse, *paths: Path, **options: Any) -> IngestReport:
    """Take the files in, at a fixed time; every row must be accounted for."""
    report = ingest(warehouse, paths, now=NOW, **options)
    for file in report.files:
        assert file.read == file.kept + file.repeated + file.quarantined, file
    return report


def only(report: IngestReport) -> FileReport:
    """Return the report's one file."""
    assert len(report.files) == 1
    return report.files[0]


def codes(warehouse: Warehouse) -> dict[int, set[str]]:
    """Return the codes by line, of quarantine and recheck marks together."""
    found: dict[int, set[str]] = {}
    rows = warehouse.fetch(
        "select line, code from records.quarantine union all select line, code "
        "from records.recheck inner join records.reading using (reading_id)"
    )
    for line, code in rows:
        found.setdefault(line, set()).add(code)
    return found


def readings(warehouse: Warehouse, columns: str, where: str = "is_current") -> list[Any]:
    """Return the kept readings in order of file and line."""
    return warehouse.fetch(
        f"select {columns} from records.reading where {where} order by file_id, sheet, line"
    )
