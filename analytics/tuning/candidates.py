"""The candidates worth seeing: the frontier thinned out, in force, of least cost, and proposed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analytics.policy import OwnLine
from analytics.statistics.verification import Rate
from analytics.tuning.choice import Choice, Costs, frontier
from analytics.tuning.estimate import around, correct
from analytics.tuning.redrawn import Spread, Weighed, spread

MOST_LINES = 12
"""Candidates shown; chosen to fit a screen."""


@dataclass(frozen=True)
class Candidate:
    """One policy: its lines (chance and ratio [1], lift [K], load of rating [1]) and what it does.

    `own` are the lines that classes have of their own: class, which, value. Shares [1] of faults
    and of sound devices that are flagged and of the flagged that are sound; missed faults, wasted
    visits and cost are per quarter. All are of one estimate. The 95 % intervals of shares, and of
    wasted visits, are those of `correct`, that of missed faults comes from drawing panels anew.
    `is_proposed` marks the one set against that in force, `is_best_shared` the one that would be
    without lines of classes' own.
    """

    probability: float
    heat_ratio: float
    lift_k: float
    load_share: float
    own: tuple[OwnLine, ...]
    flags_per_100_panels: float
    flags: float
    sensitivity: Rate
    false_alarm_share: Rate
    wasted_share: Rate
    missed: float
    wasted: float
    missed_spread: Spread
    wasted_spread: Spread
    cost: float | None
    is_in_force: bool
    is_least_cost: bool
    is_proposed: bool
    is_best_shared: bool


def candidates(
    weighed: Weighed, costs: Costs | None, choice: Choice | None, per: tuple[int, int]
) -> tuple[Candidate, ...]:
    """Return those worth seeing, from fewest wasted visits to most; `per` quarters and panels."""
    missed, wasted = weighed.missed[:, 0], weighed.wasted[:, 0]
    line = frontier(missed, wasted)
    picks = np.unique(np.linspace(0, len(line) - 1, min(MOST_LINES, len(line))).astype(int))
    marked = {weighed.place} | ({choice.least, choice.pick, choice.shared} if choice else set())
    shown = {line[int(i)] for i in picks} | marked
    ordered = sorted(shown, key=lambda one: (wasted[one], missed[one]))
    return tuple(_candidate(weighed, costs, one, choice, per) for one in ordered)


def _candidate(
    weighed: Weighed, costs: Costs | None, one: int, choice: Choice | None, per: tuple[int, int]
) -> Candidate:
    quarters, panels = per
    flagged = float(weighed.cells.totals()[0][weighed.flags[one]].sum())
    missed, wasted = weighed.missed[one], weighed.wasted[one]
    cost = float(costs.missed * missed[0] + costs.visit * wasted[0]) / quarters if costs else None
    faulty, sound = (float(x[0].sum()) for x in (weighed.redrawn.faulty, weighed.redrawn.sound))
    found = correct(weighed.cells, weighed.flags[one])
    caught, vain = faulty - missed[0], wasted[0]
    false_alarms = around(found.false_alarm_share, vain / sound)
    return Candidate(
        *weighed.lines(one).shared,
        weighed.lines(one).own_lines,
        flags_per_100_panels=100 * flagged / panels,
        flags=flagged / quarters,
        sensitivity=around(found.sensitivity, caught / faulty),
        false_alarm_share=false_alarms,
        wasted_share=around(found.wasted_share, vain / max(vain + caught, 1e-12)),
        missed=float(missed[0]) / quarters,
        wasted=float(wasted[0]) / quarters,
        missed_spread=spread(missed / quarters),
        wasted_spread=(false_alarms.low * sound / quarters, false_alarms.high * sound / quarters),
        cost=cost,
        is_in_force=one == weighed.place,
        is_least_cost=choice is not None and one == choice.least,
        is_proposed=choice is not None and one == choice.pick,
        is_best_shared=choice is not None and one == choice.shared,
    )
