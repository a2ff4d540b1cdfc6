"""Whether lines of its own would pay for a class: chosen on half of the panels, tried on the rest.

Both kinds of lines, shared and own, are those of least cost on one half and are judged on the
other, by findings that neither half lends the other. `analytics.tuning.proposal` puts the lines of
the classes that are told into what is proposed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from analytics.statistics.sourced import Array
from analytics.tuning.cells import Bools, Cells
from analytics.tuning.choice import Costs, can_be_sent, least_cost
from analytics.tuning.lines import Four
from analytics.tuning.redrawn import Redrawn, Weighed, redraw

LEAST_FAULTS, LEAST_CLEAR = 30, 60
"""Faults found in a class, and examined devices of it that were not flagged, below which nothing is
chosen for it [1]; chosen: each half then has 15 and 30."""
CHANCE = 0.05
"""Chance that any class is told to pay where none does [1], shared out over the classes tried."""
WHY_NOT = {
    "few": "too few findings",
    "same": "the shared lines are its own",
    "not_told": "the findings cannot tell that it pays",
    "held": "it would pay, but the proposal is held to shared lines",
    "at_end": "it would pay, but at an end of the lines tried",
    "over_capacity": "it would pay, but needs more visits than can be sent",
    "not_whole": "it would pay, but the findings cannot tell that the whole does",
    "as_shared": "it pays, and the shared lines proposed are the same",
    "in_force": "it pays, and the policy in force has them",
}
"""Why the lines of a class are not in the proposal, in plain words."""


@dataclass(frozen=True)
class ClassLines:
    """What lines of its own would do for a class, against the best lines that all classes share.

    `lines` are those of least cost over all panels: chance, heat ratio [1], lift [K], load [1];
    None with too few findings. The saving a quarter is that of lines chosen on the other half of
    the panels, both kinds, with an interval that holds for all classes tried together. `why_not`
    is one of `WHY_NOT`, empty where they are in the proposal.
    """

    device_class: str
    faulty: int
    examined_clear: int
    lines: Four | None
    saved: float
    low: float
    high: float
    why_not: str

    @property
    def is_same(self) -> bool:
        """Whether the lines chosen for the class are the shared ones on both halves."""
        return self.lines is not None and self.saved == self.low == self.high == 0

    @property
    def is_told(self) -> bool:
        """Whether the findings tell that they save."""
        return self.lines is not None and self.low > 0

    @property
    def is_proposed(self) -> bool:
        """Whether they are in the proposal."""
        return not self.why_not


@dataclass(frozen=True)
class Trial:
    """A class tried: its number, the candidate of least cost on all panels, and on each half."""

    number: int
    best: int
    chosen: tuple[int, int]


@dataclass(frozen=True)
class Trials:
    """Every class, those tried by number, and the fleets drawn anew of each half of the panels."""

    classes: tuple[ClassLines, ...]
    tried: dict[int, Trial]
    halves: tuple[Redrawn, ...]


def class_lines(
    weighed: Weighed, costs: Costs, limit: tuple[int, float | None], seed: int = 1
) -> Trials:
    """Weigh lines for every class.

    `limit` holds the quarters that the readings span, and how many visits a quarter can be sent:
    shared lines that need more are not set beside a class's own. A fixed seed deals the panels into
    halves, so the same store says the same; they are drawn anew as those of `weighed`.
    """
    cells = weighed.cells
    counts = [_counts(cells, number) for number in range(len(cells.classes))]
    tried = [faulty >= LEAST_FAULTS and clear >= LEAST_CLEAR for faulty, clear in counts]
    level = CHANCE / max(sum(tried), 1)
    nothing = float("nan")
    found = [
        ClassLines(name, *count, None, nothing, nothing, nothing, "few")
        for name, count in zip(cells.classes, counts, strict=True)
    ]
    if not any(tried):
        return Trials(tuple(found), {}, ())
    half = np.random.default_rng(seed).permutation(np.arange(cells.panel_count) % 2)
    halves = tuple(redraw(cells, among=half == one) for one in (0, 1))
    shared = tuple(_best_shared(weighed, costs, one, limit) for one in halves)
    trials = {}
    for number in np.flatnonzero(tried).tolist():
        best = _best(weighed, costs, weighed.redrawn, number)
        first, second = (_best(weighed, costs, one, number) for one in halves)
        trials[number] = Trial(number, best, (first, second))
        saved = saving(weighed, costs, halves, trials[number], shared) / limit[0]
        found[number] = _told(found[number], weighed, best, saved, level)
    return Trials(tuple(found), trials, halves)


def saving(
    weighed: Weighed, costs: Costs, halves: Sequence[Redrawn], trial: Trial, beside: Sequence[int]
) -> Array:
    """Return what a class saves by own lines chosen on the other half, shape (1 + draws,).

    Against the candidates `beside`, one chosen on each half and judged on the other too.
    """
    own = weighed.cells.device_class == trial.number
    total = np.zeros(halves[0].faulty.shape[0])
    for one, other in ((0, 1), (1, 0)):
        flags = weighed.flags[[beside[one], trial.chosen[one]]]
        cost = class_cost(flags, halves[other], costs, own)
        total += cost[0] - cost[1]
    return total


def class_cost(flags: Bools, redrawn: Redrawn, costs: Costs, own: Bools) -> Array:
    """Return what candidates cost in the cells of `own`, shape (candidates, 1 + draws)."""
    part = Redrawn(redrawn.faulty[:, own], redrawn.sound[:, own])
    return costs.missed * part.missed(flags[:, own]) + costs.visit * part.wasted(flags[:, own])


def _counts(cells: Cells, number: int) -> tuple[int, int]:
    """Return faults found in a class, and how many of its devices not flagged were examined."""
    _, examined, faulty = cells.totals()
    own = cells.device_class == number
    return int(faulty[own].sum()), int(examined[own & ~cells.is_flagged].sum())


def _best(weighed: Weighed, costs: Costs, redrawn: Redrawn, number: int) -> int:
    """Return the candidate of least cost for a class; of equals the nearest to that in force."""
    own = weighed.cells.device_class == number
    cost = class_cost(weighed.flags, _estimate(redrawn), costs, own)[:, 0]
    return least_cost(cost, weighed.place, weighed.flags[:, own], weighed.is_at_end)


def _best_shared(
    weighed: Weighed, costs: Costs, redrawn: Redrawn, limit: tuple[int, float | None]
) -> int:
    """Return the candidate of least cost of those with one set for all that can be sent."""
    every = np.full(len(weighed.cells.band), True)
    cost = class_cost(weighed.flags, _estimate(redrawn), costs, every)[:, 0]
    is_open = weighed.is_shared & can_be_sent(weighed, *limit)
    cost = np.where(is_open, cost, np.inf)
    return least_cost(cost, weighed.place, weighed.flags, weighed.is_at_end)


def _estimate(redrawn: Redrawn) -> Redrawn:
    return Redrawn(redrawn.faulty[:1], redrawn.sound[:1])


def _told(one: ClassLines, weighed: Weighed, best: int, saved: Array, level: float) -> ClassLines:
    low, high = np.quantile(saved[1:], [level / 2, 1 - level / 2])
    lines = weighed.lines(best).of_class(one.device_class)
    found = ClassLines(
        one.device_class,
        one.faulty,
        one.examined_clear,
        lines,
        float(saved[0]),
        float(low),
        float(high),
        "not_told",
    )
    return replace(found, why_not="same") if found.is_same else found


def sentence(found: Sequence[ClassLines]) -> str:
    """Say which classes have lines of their own in the proposal; where none has, that none has."""
    names, kept = (
        ", ".join(one.device_class.replace("_", " ") for one in found if one.why_not == why)
        for why in ("", "in_force")
    )
    if names:
        return f"In the proposal with lines of its own: {names}."
    if kept:
        return f"In the policy in force with lines of its own, which pay: {kept}."
    if any(one.why_not == "held" for one in found):
        return "The proposal is held to one set of lines for all classes."
    return "No class has lines of its own in the proposal."


def words(found: Sequence[ClassLines]) -> list[str]:
    """Say which classes have lines of their own in the proposal, and why the others have not."""
    rows = ["Lines of its own for a class, against the best shared ones (tried on other panels):"]
    for one in found:
        name = one.device_class.replace("_", " ")
        told = WHY_NOT.get(one.why_not, "in the proposal")
        if one.lines is None:
            told += (
                f": {one.faulty:,} faults, of {LEAST_FAULTS} wanted, "
                f"{one.examined_clear:,} examined of the rest, of {LEAST_CLEAR}"
            )
        elif not one.is_same:
            told = f"saves {one.saved:,.0f} a quarter ({one.low:,.0f} to {one.high:,.0f}); {told}"
        rows.append(f"  {name:<18}{told}")
    return rows
