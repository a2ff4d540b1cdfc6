"""How fast a large sheet goes into the store, beside peers that keep no rule, in the same run."""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

from tests.benchmarks.process import clocked, in_own_process

MEMORY_LIMIT = "1GB"
TIMES = 3
"""How often each is measured, in turns; the machine may be busy with other work."""
_CLASSES = ("standard", "standard", "standard", "standard", "afci", "gfci", "dual_function")


def run(rows: int, folder: Path) -> list[dict[str, object]]:
    """Measure Loadrise, plain `create table as`, and pandas on the same file of `rows` rows.

    Each works in a process of its own, in turns. Told are the best and the median time, the least
    processor time, the highest peak of memory [MB], and as `times_plain` and `times_plain_cpu` the
    median of a turn's time beside the plain read's. `again_s` is the same file once more.
    """
    folder.mkdir(parents=True, exist_ok=True)
    sheet = folder / f"readings_{rows}.csv"
    if not sheet.exists():
        _write(sheet, rows)
    turns = [{peer: _measured(peer, sheet) for peer in PEERS} for _ in range(TIMES)]
    return [_summed_up(peer, turns, rows) for peer in PEERS]


def _measured(peer: str, sheet: Path) -> dict[str, Any]:
    return in_own_process("tests.benchmarks.ingest", peer, str(sheet))


def _summed_up(peer: str, turns: list[dict[str, dict[str, Any]]], rows: int) -> dict[str, object]:
    own = [turn[peer] for turn in turns]
    told: dict[str, object] = {"peer": peer, **own[0]}
    seconds = [one["seconds"] for one in own]
    told |= {"seconds": min(seconds), "median_seconds": median(seconds)}
    told |= {"rows_per_s": rows / min(seconds)}
    told |= {key: min(o[key] for o in own) for key in ("cpu_seconds", "again_s") if key in own[0]}
    told["peak_mb"] = max(one["peak_mb"] for one in own)
    for key, name in (("seconds", "times_plain"), ("cpu_seconds", "times_plain_cpu")):
        told[name] = median(turn[peer][key] / turn[PLAIN][key] for turn in turns)
    return told


def _loadrise(sheet: Path) -> dict[str, Any]:
    from analytics.ingest.load import ingest
    from analytics.warehouse import open_store

    store = sheet.with_name("bench_ingest.duckdb")
    store.unlink(missing_ok=True)
    told: dict[str, Any] = {}
    with open_store(store, memory_limit=MEMORY_LIMIT) as warehouse:
        with clocked(told):
            report = ingest(warehouse, [sheet])
        assert report.read == report.kept + report.repeated + report.quarantined > 0
        again = time.perf_counter()
        assert ingest(warehouse, [sheet]).files[0].status == "known"
        again = time.perf_counter() - again
    store.unlink()
    return {**told, "again_s": again, "marked": report.files[0].marked}


def _plain(sheet: Path) -> dict[str, Any]:
    import duckdb

    store = sheet.with_name("bench_plain.duckdb")
    store.unlink(missing_ok=True)
    told: dict[str, Any] = {}
    config: dict[str, Any] = {"memory_limit": MEMORY_LIMIT}
    with clocked(told), duckdb.connect(str(store), config=config) as connection:
        connection.execute(f"create table reading as from read_csv('{sheet}')")
    store.unlink()
    return told


def _pandas(sheet: Path) -> dict[str, Any]:
    import pandas as pd

    told: dict[str, Any] = {}
    with clocked(told):
        pd.read_csv(sheet)
    return told


PLAIN = "duckdb create table as"
PEERS: dict[str, Callable[[Path], dict[str, Any]]] = {
    "loadrise": _loadrise,
    PLAIN: _plain,
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


if __name__ == "__main__":
    print(json.dumps(PEERS[sys.argv[1]](Path(sys.argv[2]))))
