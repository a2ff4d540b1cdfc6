"""The whole fit and the whole screening on a store of clamped readings: seconds and memory.

The fit is everything `loadrise fit` does (measures, exponent, makes, ratings, minutes, cameras,
panels, spread, robust weights, calibration), the screening everything `loadrise screen` does.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from tests.benchmarks.process import FailedError, clocked, in_own_process

ROWS = Path(__file__).with_name("stage_rows.sql")
GROWTH_FROM = 1_000_000
SCREEN_MEMORY = "4GB"
"""What the database may take while it screens; Python and its libraries come on top."""


def store_of(rows: int, folder: Path) -> Path:
    """Return the store of so many invented clamped readings, made where it is missing."""
    folder.mkdir(parents=True, exist_ok=True)
    store = folder / f"bench_stages_{rows}.duckdb"
    if not store.exists():
        in_own_process("tests.benchmarks.stages", "make", str(store), str(rows))
    return store


def run(rows: int, folder: Path) -> list[dict[str, Any]]:
    """Measure fit and screening of `rows` clamped readings.

    Above GROWTH_FROM rows the same is measured with so few, and `growth` and `cpu_growth` tell how
    many times the seconds are.
    """
    found = _measured(rows, folder)
    if rows <= GROWTH_FROM:
        return found
    before = {one["name"]: one for one in _measured(GROWTH_FROM, folder)}
    return [{**one, **_growth(one, before.get(one["name"], {"failed": ""}))} for one in found]


def _growth(one: dict[str, Any], before: dict[str, Any]) -> dict[str, float]:
    if "failed" in one or "failed" in before:
        return {}
    names = {"growth": "seconds", "cpu_growth": "cpu_seconds"}
    return {name: one[key] / before[key] for name, key in names.items()}


def _measured(rows: int, folder: Path) -> list[dict[str, Any]]:
    """Measure both; the store is removed at the end.

    One that fails, for want of memory say, is a row that says so, and ends the measurement.
    """
    store = store_of(rows, folder)
    found: list[dict[str, Any]] = []
    try:
        for name in ("fit", "screen"):
            one = in_own_process("tests.benchmarks.stages", name, str(store))
            found.append({"name": f"whole {name}", **one, "rows_per_s": rows / one["seconds"]})
    except FailedError as error:
        found.append({"name": f"whole {name}", "failed": str(error)})
    finally:
        store.unlink()
    return found


def make(store: Path, rows: int) -> dict[str, Any]:
    """Write the readings."""
    from analytics.warehouse import open_store

    with open_store(store) as warehouse, warehouse.transaction():
        warehouse.execute(ROWS.read_text(encoding="utf-8"), {"rows": rows})
    return {}


def fit(store: Path) -> dict[str, Any]:
    """Fit the baseline."""
    from analytics.baseline import fit as fit_baseline
    from analytics.warehouse import open_store

    record: dict[str, Any] = {}
    with open_store(store) as warehouse, clocked(record):
        summary = fit_baseline(warehouse)
    return {
        **record,
        "temperatures": summary.reading_count,
        "passes": summary.passes,
        "seconds_per_pass": record["seconds"] / summary.passes,
        "exponent": summary.exponent,
    }


def screen(store: Path) -> dict[str, Any]:
    """Judge every reading."""
    from analytics.screening import screen as screen_readings
    from analytics.warehouse import open_store

    record: dict[str, Any] = {}
    with open_store(store, memory_limit=SCREEN_MEMORY) as warehouse, clocked(record):
        summary = screen_readings(warehouse)
    judged = sum(summary.verdict_counts.values())
    return {**record, "memory_limit": SCREEN_MEMORY, "judged": judged}


def _main(name: str, store: str, *more: str) -> None:
    if name == "make":
        print(json.dumps(make(Path(store), int(more[0]))))
    else:
        print(json.dumps({"fit": fit, "screen": screen}[name](Path(store))))


if __name__ == "__main__":
    _main(*sys.argv[1:])
