"""A small invented fleet for the tests of commands: written by hand-made rules, no physics."""

from __future__ import annotations

import csv
from pathlib import Path

from analytics.warehouse import Warehouse, open_store

VISITS = 24
SLOTS = range(1, 9)


def readings() -> list[dict[str, object]]:
    """Return one row a device: rise grows as load^1.6, plus a small ripple; one hot device."""
    rows = []
    for visit in range(VISITS):
        for slot in SLOTS:
            load = ((visit * 7 + slot * 3) % 19 + 1) / 20
            ripple = ((visit * 5 + slot * 11) % 13 - 6) / 6
            hot = 25.0 if (visit, slot) == (3, 5) else 0.0
            rows.append(_row(visit, slot, load, 2.0 + 28.0 * load**1.6 + ripple + hot))
    return rows


def _row(visit: int, slot: int, load: float, rise_k: float) -> dict[str, object]:
    return {
        "inspection_id": f"V{visit:03}",
        "inspected_at": f"2026-{visit % 9 + 1:02}-{visit + 1:02} 10:00:00",
        "inspector_id": f"I{visit % 3}",
        "office_id": f"O{visit % 2}",
        "camera_id": f"C{visit % 2}",
        "panel_id": f"P{visit:03}",
        "ambient_temp": 21.5,
        "device_temp": round(21.5 + rise_k, 2),
        "temp_unit": "degC",
        "position": slot,
        "device_class": "standard",
        "make": f"M{slot % 2}",
        "poles": 1,
        "rated_a": 20,
        "current_a": round(20 * load, 2),
        "load_minutes": 45,
        "note": "=1+1" if (visit, slot) == (0, 1) else "",
    }


def write_csv(path: Path) -> Path:
    """Write the rows as an inspector's sheet."""
    rows = readings()
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return path


def fill(warehouse: Warehouse) -> None:
    """Put the rows straight into the kept tables, as the ingest would."""
    with warehouse.transaction():
        warehouse.execute(
            "insert into records.source_file values (1, 'sheet.csv', 'x', 1, 'reading', "
            "timestamptz '2026-12-31 00:00:00+00', '{}', 193, 192, 0, 1, 0)"
        )
        for number, row in enumerate(readings()):
            warehouse.execute(INSERT, {"number": number, **_bound(row)})
        warehouse.execute(
            "insert into records.quarantine values (1, null, 7, 'rated_a', '=2+3', 'no_number', "
            "'“=2+3” is no number.', '-4,=2+3')"
        )
        warehouse.execute(
            "insert into records.recheck values (2, 'current_a', 'odd', 'Far above all others.')"
        )


INSERT = """
insert into records.reading by name select
    $number::bigint as reading_id, 1 as file_id, $number + 2 as line,
    hash($number::bigint) as content_hash, true as is_current, $inspection_id as inspection_id,
    $inspected_at::timestamp as inspected_at, $inspector_id as inspector_id,
    $office_id as office_id, $camera_id as camera_id, $panel_id as panel_id,
    $ambient_temp::double as ambient_degc, $device_temp::double as device_degc,
    $position::integer as position, $device_class as device_class, $make as make,
    $poles::integer as poles, $rated_a::double as rated_a, $current_a::double as current_a,
    $load_minutes::double as load_minutes, $note as note
"""


def _bound(row: dict[str, object]) -> dict[str, object]:
    return {key: value for key, value in row.items() if key != "temp_unit"}


def make_store(path: Path, *, is_screened: bool = True) -> Path:
    """Make a store with the fleet in it, fitted and screened where asked."""
    from analytics.baseline import fit
    from analytics.screening import screen

    with open_store(path) as warehouse:
        fill(warehouse)
        if is_screened:
            fit(warehouse)
            screen(warehouse)
    return path
