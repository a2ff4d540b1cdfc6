"""Speed and size beside named peers in the same run: `python -m tests.benchmarks --sizes …`."""

from __future__ import annotations

import argparse
import importlib.util
import json
from importlib import import_module
from pathlib import Path

WORK = ("ingest", "fit")


def main() -> None:
    """Run every benchmark at every size; print a table and write JSON."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sizes", nargs="+", type=int, default=[100_000, 1_000_000, 10_000_000])
    parser.add_argument("--out", type=Path, default=Path("build/bench"))
    chosen = parser.parse_args()
    chosen.out.mkdir(parents=True, exist_ok=True)
    rows: list[dict[str, object]] = []
    for work in WORK:
        if importlib.util.find_spec(f"tests.benchmarks.{work}") is None:
            continue
        run = import_module(f"tests.benchmarks.{work}").run
        for size in chosen.sizes:
            found = [{"work": work, "size": size, **row} for row in run(size, chosen.out)]
            print("\n".join(_line(row) for row in found), flush=True)
            rows += found
    (chosen.out / "bench.json").write_text(json.dumps(rows, indent=1, default=str))


def _line(row: dict[str, object]) -> str:
    return "  ".join(f"{key} {_short(value)}" for key, value in row.items())


def _short(value: object) -> str:
    return f"{value:.4g}" if isinstance(value, float) else str(value)


if __name__ == "__main__":
    main()
