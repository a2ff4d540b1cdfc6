"""How fast a large sheet goes into the store, beside peers that keep no rule, in the same run."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

MEMORY_LIMIT = "1GB"
_CLASSES = ("standard", "standard", "standard", "standard", "afci", "gfci", "dual_function")


def run(rows: int, folder: Path) -> list[dict[str, object]]:
    """Measure Loadrise, plain `create table as`, and pandas on the same file of `rows` rows.

    Each works in a process of its own; rss is its peak [MB]. `again_s` is the same file once more.
    """
    folder.mkdir(parents=True, exist_ok=True)
    sheet = folder / f"readings_{rows}.csv"
    if not sheet.exists():
        _write(sheet, rows)
    found = [_measured(peer, sheet) for peer in PEERS]
    plain = float(str(found[1]["seconds"]))
    for row in found:
        row["times_plain"] = float(str(row["seconds"])) / plain
        row["rows_per_s"] = rows / float(str(row["seconds"]))
    return found


def _measured(peer: str, sheet: Path) -> dict[str, object]:
    words = [sys.executable, "-m", "tests.benchmarks.ingest", peer, str(sheet)]
    done = subprocess.run(words, capture_output=True, text=True, check=True)
    return {"peer": peer, **json.loads(done.stdout)}


def _loadrise(sheet: Path) -> dict[str, float]:
    from analytics.ingest.load import ingest
    from analytics.warehouse import open_store

    store = sheet.with_name("bench_ingest.duckdb")
    store.unlink(missing_ok=True)
    with open_store(store, memory_limit=MEMORY_LIMIT) as warehouse:
        start = time.perf_counter()
        report = ingest(warehouse, [sheet])
        seconds = time.perf_counter() - start
        assert report.read == report.kept + report.repeated + report.quarantined > 0
        again = time.perf_counter()
        assert ingest(warehouse, [sheet]).files[0].status == "known"
        again = time.perf_counter() - again
    store.unlink()
    return {"seconds": seconds, "again_s": again, "marked": report.files[0].marked}


def _plain(sheet: Path) -> dict[str, float]:
    import duckdb

    store = sheet.with_name("bench_plain.duckdb")
    store.unlink(missing_ok=True)
    start = time.perf_counter()
    with duckdb.connect(str(store), config={"memory_limit": MEMORY_LIMIT}) as connection:
        connection.execute(f"create table reading as from read_csv('{sheet}')")
    seconds = time.perf_counter() - start
    store.unlink()
    return {"seconds": seconds}


def _pandas(sheet: Path) -> dict[str, float]:
    import pandas as pd

    start = time.perf_counter()
    pd.read_csv(sheet)
    return {"seconds": time.perf_counter() - start}


PEERS: dict[str, Callable[[Path], dict[str, float]]] = {
    "loadrise": _loadrise,
    "duckdb create table as": _plain,
    "pandas read_csv": _pandas,
}


def _write(sheet: Path, rows: int) -> None:
    """Write canonical readings in °F; one in two hundred rows has a clerical error."""
    import duckdb

    duckdb.execute("select setseed(0.25)")
    classes = ", ".join(f"'{name}'" for name in _CLASSES)
    query = (Path(__file__).with_name("ingest_sheet.sql")).read_text(encoding="utf-8")
    query = query.replace("$rows", str(rows)).replace("$classes", classes)
    duckdb.execute(f"copy ({query}) to '{sheet}' (header)")


def _peak_mb() -> float:
    for line in Path("/proc/self/status").read_text(encoding="utf-8").splitlines():
        if line.startswith("VmHWM:"):
            return int(line.split()[1]) / 1024
    return float("nan")


if __name__ == "__main__":
    measured = PEERS[sys.argv[1]](Path(sys.argv[2]))
    print(json.dumps({**measured, "rss_mb": _peak_mb()}))
