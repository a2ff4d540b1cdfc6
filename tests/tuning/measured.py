"""How near the best a recommended policy comes, and how often intervals hold, on an invented fleet.

    python -m tests.tuning.measured [--draws 100]

70 % of the flagged and 3 % of the rest are examined, drawn anew each time. Prints; decides nothing.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

import numpy as np

from analytics.tuning.choice import Costs
from tests.guarantees.test_verification import cost_ratios, covered, examined_fleet

COSTS = (Costs(2000, 250), Costs(4000, 180), Costs(20000, 150))
NEAR = 1.10
"""Cost over the best policy's up to which a recommendation counts as near it [1]."""


def main() -> None:
    """Measure and print."""
    given = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    given.add_argument("--draws", type=int, default=100)
    draws = range(given.parse_args().draws)
    with (
        tempfile.TemporaryDirectory() as folder,
        examined_fleet(Path(folder)) as fleet,
    ):
        held = covered(fleet, draws)
        lines = [
            f"{len(draws)} draws of findings; the 95 % interval of the share of faults flagged "
            f"held in {held[0]} corrected and in {held[1]} among the examined alone, that of false "
            f"alarms in {held[2]}."
        ]
        for costs in COSTS:
            ratios, in_force = cost_ratios(fleet, costs, draws)
            lines.append(_words(costs, ratios, in_force, len(draws)))
    sys.stdout.write("\n".join(lines) + "\n")


def _words(costs: Costs, ratios: list[float], in_force: float, draws: int) -> str:
    head = (
        f"Missed fault {costs.missed:,.0f}, visit in vain {costs.visit:,.0f}: the policy in force "
        f"costs {in_force:.3f} of the best; {len(ratios)} of {draws} draws recommend another"
    )
    if not ratios:
        return f"{head}."
    near = sum(one <= NEAR for one in ratios)
    return (
        f"{head}, at {np.median(ratios):.3f} of the best (median; worst {max(ratios):.3f}), "
        f"{near} of {len(ratios)} within 10 %."
    )


if __name__ == "__main__":
    main()
