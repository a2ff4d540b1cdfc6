"""Whether lines of its own would pay for a class: chosen on half of the panels, tried on the rest.

A policy holds one set of lines for all classes; this says what that gives away, if anything.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from analytics.statistics.sourced import Array
from analytics.tuning.cells import Bools, Cells, Grid
from analytics.tuning.choice import Costs, cost_parts, least_cost

LEAST_FAULTS, LEAST_CLEAR = 30, 60
"""Faults found in a class, and examined devices of it that were not flagged, below which nothing is
chosen for it [1]; chosen: each half then has 15 and 30."""
DRAWS = 1000
"""Draws of the bootstrap by panel; chosen: with eight classes the ends still lie on three draws."""
CHANCE = 0.05
"""Chance that any class is told to pay where none does [1], shared out over the classes tried."""


@dataclass(frozen=True)
class ClassLines:
    """What lines of its own would do for a class, against the best lines that all classes share.

    `lines` are those of least cost over all panels: chance, heat ratio [1], lift [K], load [1];
    None with too few findings. The saving a quarter is that of lines chosen on the other half of
    the panels, both kinds, with an interval that holds for all classes tried together.
    """

    device_class: str
    faulty: int
    examined_clear: int
    lines: tuple[float, float, float, float] | None
    saved: float
    low: float
    high: float

    @property
    def is_same(self) -> bool:
        """Whether the lines chosen for the class are the shared ones on both halves."""
        return self.lines is not None and self.saved == self.low == self.high == 0

    @property
    def is_told(self) -> bool:
        """Whether the findings tell that they save."""
        return self.lines is not None and self.low > 0


def class_lines(
    cells: Cells, grid: Grid, place: int, costs: Costs, quarters: int, seed: int = 1
) -> tuple[ClassLines, ...]:
    """Weigh lines for every class of `cells`, whose strata are the classes.

    A fixed seed deals the panels into halves and draws them anew, so the same store says the same.
    """
    flags = cells.flagged_by(grid)
    counts = [_counts(cells, number) for number in range(len(cells.strata))]
    tried = [faulty >= LEAST_FAULTS and clear >= LEAST_CLEAR for faulty, clear in counts]
    level = CHANCE / max(sum(tried), 1)
    found = []
    for number, (name, (faulty, clear)) in enumerate(zip(cells.strata, counts, strict=True)):
        if not tried[number]:
            nothing = float("nan")
            found.append(ClassLines(name, faulty, clear, None, nothing, nothing, nothing))
            continue
        own = _only(cells, number)
        best = _best(own, flags, place, costs, np.ones(cells.panel_count))
        saved = _saved((cells, own), flags, place, costs, level, seed)
        value, low, high = (one / quarters for one in saved)
        found.append(ClassLines(name, faulty, clear, grid.lines[best], value, low, high))
    return tuple(found)


def _counts(cells: Cells, number: int) -> tuple[int, int]:
    """Return faults found in a class, and how many of its devices not flagged were examined."""
    _, examined, faulty = cells.totals()
    own = cells.stratum == number
    return int(faulty[own].sum()), int(examined[own & ~cells.is_flagged].sum())


def _only(cells: Cells, number: int) -> Cells:
    """Return the cells with the readings of all other classes taken out."""
    is_own = (cells.stratum == number)[cells.rows_cell]
    names = ("rows_panel", "rows_cell", "rows_count", "rows_examined", "rows_faulty")
    return replace(cells, **{name: getattr(cells, name)[is_own] for name in names})


def _best(own: Cells, flags: Bools, place: int, costs: Costs, weight: Array) -> int:
    missed, wasted = cost_parts(own, flags, own.totals(weight))
    return least_cost(costs.missed * missed + costs.visit * wasted, place, flags)


def _saved(
    both: tuple[Cells, Cells], flags: Bools, place: int, costs: Costs, level: float, seed: int
) -> tuple[float, float, float]:
    """Return the saving and its ends: each half judged by lines chosen on the other.

    `both` are the cells of all classes, for the shared lines, and those of the class alone.
    """
    every, own = both
    rng, size = np.random.default_rng(seed), every.panel_count
    half = rng.permutation(np.arange(size) % 2)
    pairs = []
    for one in (0, 1):
        other = (half != one).astype(float)
        pairs.append(flags[[_best(each, flags, place, costs, other) for each in (own, every)]])

    def saving(weight: Array) -> float:
        return sum(_saving(own, pairs[one], costs, weight * (half == one)) for one in (0, 1))

    draws = [
        saving(np.bincount(rng.integers(0, size, size), minlength=size).astype(float))
        for _ in range(DRAWS)
    ]
    low, high = np.quantile(draws, [level / 2, 1 - level / 2])
    return saving(np.ones(size)), float(low), float(high)


def _saving(own: Cells, both: Bools, costs: Costs, weight: Array) -> float:
    missed, wasted = cost_parts(own, both, own.totals(weight))
    cost = costs.missed * missed + costs.visit * wasted
    return float(cost[1] - cost[0])


def words(found: Sequence[ClassLines]) -> list[str]:
    """Say which classes would gain by lines of their own, and which have too few findings."""
    rows = ["Lines of its own for a class, against the best shared ones (tried on other panels):"]
    for one in found:
        name = one.device_class.replace("_", " ")
        if one.lines is None:
            told = (
                f"too few findings: {one.faulty:,} faults, of {LEAST_FAULTS} wanted, "
                f"{one.examined_clear:,} examined of the rest, of {LEAST_CLEAR}"
            )
        elif one.is_same:
            told = "the shared lines are its own"
        else:
            told = (
                f"saves {one.saved:,.0f} a quarter ({one.low:,.0f} to {one.high:,.0f}); "
                f"{'they would pay' if one.is_told else 'the findings cannot tell that it pays'}"
            )
        rows.append(f"  {name:<18}{told}")
    return rows
