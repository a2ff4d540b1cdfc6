"""One measurement in a process of its own, so that its peak memory is its own."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any


class FailedError(RuntimeError):
    """The process ended with an error; the message is its last line."""


def in_own_process(module: str, *words: str) -> dict[str, Any]:
    """Run `python -m MODULE WORDS` and return the JSON record it prints last.

    Raises FailedError where it fails.
    """
    command = [sys.executable, "-m", module, *words]
    root = Path(__file__).parents[2]
    done = subprocess.run(command, capture_output=True, text=True, cwd=root)
    if done.returncode:
        last = [line for line in done.stderr.splitlines() if line.strip()][-1:]
        raise FailedError(f"{' '.join(words)}, code {done.returncode}: {' '.join(last)}")
    found: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return found


def peak_mb() -> float:
    """Return the process's peak memory [MB]; `getrusage` would count the parent's before exec."""
    status = Path("/proc/self/status")
    if status.exists():
        lines = status.read_text(encoding="ascii").splitlines()
        return next(int(line.split()[1]) for line in lines if line.startswith("VmHWM")) / 1000
    import resource

    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6


@contextmanager
def clocked(record: dict[str, Any]) -> Iterator[None]:
    """Write `seconds`, `cpu_seconds` of all threads, and `peak_mb` of the work within.

    On a machine that others use at the same time the second tells more than the first.
    """
    start, cpu = time.perf_counter(), time.process_time()
    yield
    record["seconds"] = time.perf_counter() - start
    record["cpu_seconds"] = time.process_time() - cpu
    record["peak_mb"] = peak_mb()


def machine() -> str:
    """Return how many cores there are and how busy they are."""
    load = f", load average {os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else ""
    return f"{os.cpu_count()} cores{load}"
