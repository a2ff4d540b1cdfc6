"""Speed and size beside named peers, or accuracy beside other detectors, in the same run.

`python -m tests.benchmarks speed --sizes …` and `python -m tests.benchmarks compare --panels …`.
"""

from __future__ import annotations

import argparse
import json
from importlib import import_module
from pathlib import Path

WORK = ("ingest", "fit", "law", "crossed", "panels", "ranks", "stages", "opinion", "quarter")
WHOLE = ("stages", "opinion", "quarter")
SMALL_PANELS = 60
SECTION = "detectors"


def main() -> None:
    """Run what was asked for; print a table and write JSON."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, default=Path("build/bench"), help="folder for results")
    commands = parser.add_subparsers(dest="command", required=True)
    speed = commands.add_parser("speed", help="seconds and megabytes beside named peers")
    speed.add_argument("--sizes", nargs="+", type=int, default=[100_000, 1_000_000, 10_000_000])
    speed.add_argument(
        "--whole", nargs="*", type=int, default=[1_000_000], help="fit, screen, opinion"
    )
    speed.add_argument("--only", nargs="+", choices=WORK, default=list(WORK))
    compare = commands.add_parser("compare", help="accuracy beside other detectors")
    compare.add_argument("--panels", type=int, default=400, help="of the larger fleets")
    compare.add_argument("--seeds", nargs="+", type=int, default=[101, 102, 103])
    compare.add_argument("--small-seeds", nargs="*", type=int, default=list(range(101, 107)))
    compare.add_argument("--write", type=Path, help="document whose generated block to renew")
    chosen = parser.parse_args()
    chosen.out.mkdir(parents=True, exist_ok=True)
    if chosen.command == "speed":
        run_speed(chosen)
    else:
        run_compare(chosen)


def run_speed(chosen: argparse.Namespace) -> None:
    """Measure each work at each size; those that take minutes at sizes of their own."""
    from tests.benchmarks.process import machine

    print(machine(), flush=True)
    rows: list[dict[str, object]] = []
    for work in chosen.only:
        run = import_module(f"tests.benchmarks.{work}").run
        for size in chosen.whole if work in WHOLE else chosen.sizes:
            found = [{"work": work, "size": size, **row} for row in run(size, chosen.out)]
            print("\n".join(_line(row) for row in found), flush=True)
            rows += found
    (chosen.out / "bench.json").write_text(json.dumps(rows, indent=1, default=str))


def run_compare(chosen: argparse.Namespace) -> None:
    """Measure every detector on every fleet; write compare.md and compare.json."""
    from analytics.reference import renew
    from tests.benchmarks import compare_table as table
    from tests.benchmarks.compare import compare, summarise, write_json

    plan = [(chosen.panels, chosen.seeds), (SMALL_PANELS, chosen.small_seeds)]
    lines, figures, chances = compare([(panels, seeds) for panels, seeds in plan if seeds])
    found = summarise(lines, figures, chances)
    write_json(lines, figures, chosen.out / "compare.json")
    (chosen.out / "compare.md").write_text(table.whole(found, is_markdown=True), "utf-8")
    print(table.whole(found, is_markdown=False))
    if chosen.write is not None:
        renewed = renew(chosen.write.read_text("utf-8"), {SECTION: table.block(found)})
        chosen.write.write_text(renewed, "utf-8")


def _line(row: dict[str, object]) -> str:
    return "  ".join(f"{key} {_short(value)}" for key, value in row.items())


def _short(value: object) -> str:
    return f"{value:.4g}" if isinstance(value, float) else str(value)


if __name__ == "__main__":
    main()
