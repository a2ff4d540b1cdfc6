"""A second opinion from a cold start: the whole command in a process of its own, median of 15."""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

from tests.benchmarks.process import FailedError, in_own_process
from tests.benchmarks.stages import store_of

STARTS = 15
WORDS = (
    *("opinion", "--class", "afci", "--rating", "20", "--ambient", "64F", "--device", "101F"),
    *("--current", "9.2A", "--minutes", "30", "--json"),
)


def run(rows: int, folder: Path) -> list[dict[str, Any]]:
    """Measure one opinion from a store of `rows` clamped readings; the store is removed."""
    store = store_of(rows, folder)
    try:
        for name in ("fit", "screen"):
            in_own_process("tests.benchmarks.stages", name, str(store))
        return [_starts(store)]
    except FailedError as error:
        return [{"name": "opinion", "failed": str(error)}]
    finally:
        store.unlink()


def _starts(store: Path) -> dict[str, Any]:
    one_start(store)  # the files are in the cache of the system then, as on any working day
    found = [one_start(store) for _ in range(STARTS)]
    return {
        "name": f"opinion, median of {STARTS} starts",
        "seconds": statistics.median(wall for wall, _ in found),
        "cpu_seconds": statistics.median(cpu for _, cpu in found),
        "slowest_seconds": max(wall for wall, _ in found),
    }


def one_start(store: Path) -> tuple[float, float]:
    """Run the command once; return seconds, and processor seconds of all its threads."""
    before, start = os.times(), time.perf_counter()
    command = [sys.executable, "-m", "analytics.cli.main", "--store", str(store), *WORDS]
    done = subprocess.run(command, capture_output=True, text=True)
    wall, after = time.perf_counter() - start, os.times()
    if done.returncode or "verdict" not in json.loads(done.stdout):
        raise FailedError(done.stderr.strip())
    cpu = after.children_user + after.children_system
    return wall, cpu - before.children_user - before.children_system
