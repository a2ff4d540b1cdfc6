"""What a proposed policy asks of the firm: when it pays, and what no policy of the grid finds."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analytics.tuning.choice import Choice, Costs, choose
from analytics.tuning.lines import Four
from analytics.tuning.redrawn import Spread, Weighed, spread

FACTORS = (0.5, 2.0)
"""Times the cost of a missed fault at which the choice is made again [1]; chosen: costs of what did
not happen are guesses, and a guess is good to about a factor of two."""


@dataclass(frozen=True)
class Stance:
    """Which shared lines would be recommended at `factor` times the cost of a missed fault.

    None: nothing would.
    """

    factor: float
    lines: Four | None


@dataclass(frozen=True)
class Consequences:
    """The proposed policy against the one in force.

    `visits_per_fault` [visits in vain] is what one more fault found takes, with its 95 % interval;
    NaN where not more of both. `uncaught` faults a quarter are missed by every candidate, of those
    with a current; `uncaught_spread` is its 95 % interval.
    """

    visits_per_fault: float
    visits_per_fault_spread: Spread
    uncaught: float
    uncaught_spread: Spread
    stances: tuple[Stance, ...]


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
    loosest = weighed.missed.min(axis=0) / quarters
    return Consequences(
        float(ratio[0]) if is_both[0] else float("nan"),
        spread(ratio),
        float(loosest[0]),
        spread(loosest),
        tuple(_stance(tried, costs, one, quarters, most_visits) for one in FACTORS),
    )


def _stance(
    weighed: Weighed, costs: Costs, factor: float, quarters: int, most_visits: float | None
) -> Stance:
    other = choose(weighed, Costs(factor * costs.missed, costs.visit), quarters, most_visits)
    return Stance(factor, weighed.lines(other.pick).shared if other.is_recommended else None)
