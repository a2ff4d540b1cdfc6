"""What a proposed policy asks of the firm: step by step, when it pays, how steady the choice is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import groupby

import numpy as np

from analytics.tuning.choice import Choice, Costs, choose
from analytics.tuning.further import Further, Part, cheaper, further
from analytics.tuning.lines import Four
from analytics.tuning.redrawn import Spread, Weighed, spread

FACTORS = tuple(one / 16 for one in range(8, 33))
"""Times the cost of a missed fault at which the choice is made again [1]; chosen: costs of what did
not happen are guesses, and a guess is good to about a factor of two; steps near enough to see where
the choice turns."""


@dataclass(frozen=True)
class Stance:
    """Which shared lines would be recommended at `factor` times the cost of a missed fault.

    None: nothing would.
    """

    factor: float
    lines: Four | None


@dataclass(frozen=True)
class Step:
    """A policy of the chain, and what it adds to the stricter one before it, a quarter.

    `visits` are all that it sends; `found` more faults and `in_vain` more visits in vain than the
    one before, NaN of the first. `saved` is against the policy in force, as found, with its 95 %
    interval; `best_in` the share of redrawn fleets [1] in which it costs least.
    """

    lines: Four
    visits: float
    found: float
    in_vain: float
    saved: float
    saved_spread: Spread
    best_in: float
    is_in_force: bool
    is_quieter: bool
    is_proposed: bool

    @property
    def visits_per_fault(self) -> float:
        """Visits in vain for each further fault found by this step alone; infinite for none."""
        return self.in_vain / self.found if self.found > 0 else float("inf")


@dataclass(frozen=True)
class Consequences:
    """The proposed policy against the one in force.

    `visits_per_fault` [visits in vain] is what one more fault found takes, with its 95 % interval;
    NaN where not more of both. `uncaught` faults a quarter are missed by every candidate, of those
    with a current; `uncaught_spread` is its 95 % interval. `steps` lie between the two policies
    and one beyond on either side. `further` tells the last part of the way by itself, `cheaper` of
    a policy that may cost less where the one in force is kept.
    """

    visits_per_fault: float
    visits_per_fault_spread: Spread
    uncaught: float
    uncaught_spread: Spread
    stances: tuple[Stance, ...]
    steps: tuple[Step, ...]
    further: Further | None
    cheaper: Part | None

    @property
    def runs(self) -> tuple[tuple[Stance, Stance], ...]:
        """First and last of the stances that follow each other with the same lines."""
        groups = [list(one) for _, one in groupby(self.stances, key=lambda one: one.lines)]
        return tuple((one[0], one[-1]) for one in groups)


def consequences(
    weighed: Weighed,
    choice: Choice,
    costs: Costs,
    limit: tuple[int, float | None],
    tried: Weighed,
) -> Consequences:
    """Return them; the choice is made again with the cost of a missed fault halved and doubled.

    `limit` holds the quarters that the readings span and how many visits a quarter can be sent;
    `tried` are the candidates that are chosen from.
    """
    quarters, most_visits = limit
    found = weighed.missed[weighed.place] - weighed.missed[choice.pick]
    visits = weighed.wasted[choice.pick] - weighed.wasted[weighed.place]
    is_both = (found > 0) & (visits > 0)
    ratio = np.divide(visits, found, out=np.full_like(found, np.inf), where=is_both)
    ratio = np.where(visits <= 0, 0.0, ratio)
    loosest = weighed.missed[weighed.chain.places[-1]] / quarters
    return Consequences(
        float(ratio[0]) if is_both[0] else float("nan"),
        spread(ratio),
        float(loosest[0]),
        spread(loosest),
        tuple(_stance(tried, costs, one, quarters, most_visits) for one in FACTORS),
        _steps(weighed, choice, costs, quarters),
        further(weighed, choice, costs, quarters),
        cheaper(weighed, choice, costs, quarters),
    )


def _stance(
    weighed: Weighed, costs: Costs, factor: float, quarters: int, most_visits: float | None
) -> Stance:
    other = choose(weighed, Costs(factor * costs.missed, costs.visit), quarters, most_visits)
    return Stance(factor, weighed.lines(other.pick).shared if other.is_recommended else None)


def _steps(weighed: Weighed, choice: Choice, costs: Costs, quarters: int) -> tuple[Step, ...]:
    """Return the steps from one before the stricter policy to one beyond the looser one."""
    line = weighed.chain
    pick = line.places.index(choice.shared) if choice.shared in line.places else line.start
    ends = sorted((line.start, pick))
    shown = range(max(ends[0] - 1, 0), min(ends[1] + 2, len(line.places)))
    first, *rest = (_step(weighed, choice, costs, quarters, one) for one in shown)
    nothing = float("nan")
    return (replace(first, found=nothing, in_vain=nothing), *rest)


def _step(weighed: Weighed, choice: Choice, costs: Costs, quarters: int, number: int) -> Step:
    places, now = weighed.chain.places, weighed.place
    one, before = places[number], places[max(number - 1, 0)]
    rows = [now, one, before]
    missed, wasted = weighed.missed[rows] / quarters, weighed.wasted[rows] / quarters
    saved = costs.missed * (missed[0] - missed[1]) + costs.visit * (wasted[0] - wasted[1])
    return Step(
        weighed.grid.lines[one],
        float(weighed.cells.totals()[0][weighed.flags[one]].sum()) / quarters,
        float(missed[2, 0] - missed[1, 0]),
        float(wasted[1, 0] - wasted[2, 0]),
        float(saved[0]),
        spread(saved),
        choice.best_in[number],
        one == now,
        one == choice.quieter,
        one == choice.shared != now,
    )
