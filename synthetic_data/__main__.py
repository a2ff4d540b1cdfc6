"""Write an invented firm's records: python -m synthetic_data --scenario demo --seed 7 --out DIR."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from synthetic_data.spec import ScenarioError, known
from synthetic_data.write import FleetSummary, generate


def _arguments(given: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m synthetic_data", description=__doc__)
    parser.add_argument(
        "--scenario", required=True, help=f"one of {', '.join(known())}, or a TOML file"
    )
    parser.add_argument("--seed", type=int, required=True, help="same seed, same bytes")
    parser.add_argument("--out", type=Path, required=True, help="folder to write into")
    parser.add_argument("--inspections", type=int, help="in place of the scenario's number")
    return parser.parse_args(given)


def _describe(summary: FleetSummary) -> str:
    return (
        f"{summary.scenario}, seed {summary.seed}: {summary.reading_count} readings of "
        f"{summary.panel_count} panels in {summary.inspection_count} inspections; "
        f"{summary.fault_count} with a fault, {summary.overload_count} overloaded, "
        f"{summary.clerical_error_count} with a clerical error; {len(summary.reading_files)} "
        f"sheets of {summary.row_count} rows, {summary.findings_count} findings; "
        f"truth in {summary.truth_file}"
    )


def main(given: list[str] | None = None) -> int:
    """Run the command; return its exit code."""
    arguments = _arguments(given)
    try:
        summary = generate(arguments.scenario, arguments.seed, arguments.out, arguments.inspections)
    except (ScenarioError, OSError) as error:
        print(error, file=sys.stderr)
        return 2
    print(_describe(summary))
    return 0


if __name__ == "__main__":
    sys.exit(main())
