"""The candidates worth seeing: the frontier thinned out, in force, and of least cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from analytics.statistics.sourced import Array
from analytics.statistics.verification import Rate
from analytics.tuning.cells import Bools, Cells, Grid
from analytics.tuning.choice import Costs, Spread, frontier, part_spreads
from analytics.tuning.estimate import around, correct

MOST_LINES = 12
"""Candidates shown; chosen to fit a screen."""


@dataclass(frozen=True)
class Candidate:
    """One policy: its lines (chance and ratio [1], lift [K], load of rating [1]) and what it does.

    Shares [1] with 95 % intervals; missed faults, wasted visits and cost are per quarter. The
    spreads are 95 % intervals of missed and wasted by drawing panels anew.
    """

    probability: float
    heat_ratio: float
    lift_k: float
    load_share: float
    flags_per_100_panels: float
    sensitivity: Rate
    false_alarm_share: Rate
    missed: float
    wasted: float
    missed_spread: Spread
    wasted_spread: Spread
    cost: float | None
    is_in_force: bool
    is_least_cost: bool


@dataclass(frozen=True)
class Weighed:
    """Every candidate of the grid on the cells: what it flags, faults missed and visits wasted."""

    cells: Cells
    grid: Grid
    flags: Bools
    place: int
    missed: Array
    wasted: Array


def candidates(
    weighed: Weighed, costs: Costs | None, best: int | None, per: tuple[int, int]
) -> tuple[Candidate, ...]:
    """Return those worth seeing, from fewest wasted visits to most; `per` quarters and panels."""
    line = frontier(weighed.missed, weighed.wasted)
    picks = np.unique(np.linspace(0, len(line) - 1, min(MOST_LINES, len(line))).astype(int))
    shown = (
        {line[int(i)] for i in picks} | {weighed.place} | ({best} if best is not None else set())
    )
    ordered = sorted(shown, key=lambda one: (weighed.wasted[one], weighed.missed[one]))
    spreads = part_spreads(weighed.cells, weighed.flags[ordered], per[0])
    return tuple(
        _candidate(weighed, costs, one, best, per, both)
        for one, both in zip(ordered, spreads, strict=True)
    )


def _candidate(
    weighed: Weighed,
    costs: Costs | None,
    one: int,
    best: int | None,
    per: tuple[int, int],
    spreads: Sequence[Spread],
) -> Candidate:
    quarters, panels = per
    flags = weighed.flags[one]
    count = weighed.cells.totals()[0]
    missed, wasted = float(weighed.missed[one]), float(weighed.wasted[one])
    caught = float(count[flags].sum()) - wasted
    sound = float(count.sum()) - caught - missed
    found = correct(weighed.cells, flags)
    cost = (costs.missed * missed + costs.visit * wasted) / quarters if costs else None
    return Candidate(
        *weighed.grid.lines[one],
        flags_per_100_panels=100 * float(count[flags].sum()) / panels,
        sensitivity=around(found.sensitivity, caught / (caught + missed)),
        false_alarm_share=around(found.false_alarm_share, wasted / sound),
        missed=missed / quarters,
        wasted=wasted / quarters,
        missed_spread=spreads[0],
        wasted_spread=spreads[1],
        cost=cost,
        is_in_force=one == weighed.place,
        is_least_cost=one == best,
    )
