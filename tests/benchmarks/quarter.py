"""A quarterly page from a cold start, tables and index with it: the whole command, median of 5."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from tests.benchmarks.process import FailedError, in_own_process
from tests.benchmarks.stages import store_of

STARTS = 5


def run(rows: int, folder: Path) -> list[dict[str, Any]]:
    """Measure the page of the last quarter of a store of `rows` readings; the store is removed."""
    store = store_of(rows, folder)
    try:
        for name in ("fit", "screen"):
            in_own_process("tests.benchmarks.stages", name, str(store))
        return [_pages(store)]
    except FailedError as error:
        return [{"name": "quarter", "failed": str(error)}]
    finally:
        store.unlink()


def _pages(store: Path) -> dict[str, Any]:
    with tempfile.TemporaryDirectory() as out:
        one_page(store, Path(out))  # the files are in the cache of the system then
        found = [one_page(store, Path(out)) for _ in range(STARTS)]
        (page,) = Path(out).glob("quarter-*.html")
        size = page.stat().st_size
    return {
        "name": f"quarterly page, median of {STARTS} starts",
        "seconds": statistics.median(wall for wall, _ in found),
        "cpu_seconds": statistics.median(cpu for _, cpu in found),
        "megabytes": size / 1e6,
    }


def one_page(store: Path, out: Path) -> tuple[float, float]:
    """Run the command once; return seconds, and processor seconds of all its threads."""
    before, start = os.times(), time.perf_counter()
    words = ("--store", str(store), "quarter", "--out", str(out))
    command = [sys.executable, "-m", "analytics.cli.main", *words]
    done = subprocess.run(command, capture_output=True, text=True)
    wall, after = time.perf_counter() - start, os.times()
    if done.returncode:
        raise FailedError(done.stderr.strip())
    cpu = after.children_user + after.children_system
    return wall, cpu - before.children_user - before.children_system
