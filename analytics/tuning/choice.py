"""The policy to recommend, how sure that is, and when the findings cannot tell."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analytics.statistics.proportions import Z95
from analytics.statistics.sourced import Array
from analytics.tuning.cells import Bools
from analytics.tuning.redrawn import LEVEL, Weighed

LEAST_AMONG = 10
"""Findings where two policies differ below which they are not told apart: there the recalibration
speaks, not the findings. Chosen."""


@dataclass(frozen=True)
class Costs:
    """What a missed fault and a wasted visit cost the firm, in the same money."""

    missed: float
    visit: float

    @property
    def break_even(self) -> float:
        """Share of faulty devices from which a visit pays [1]."""
        return self.visit / (self.visit + self.missed)


@dataclass(frozen=True)
class Difference:
    """A policy against the one in force, over all readings; money saved per quarter.

    `saved` and its 95 % interval have `flattery` taken off, what picking the best of many adds.
    `needed` is how many more findings, among the devices where the two differ, would tell them
    apart if those found so far are typical; 0 where they can be told apart already.
    """

    saved: float
    low: float
    high: float
    flattery: float
    differing_count: int
    examined_among: int
    faulty_share_among: float
    needed: int

    @property
    def is_told(self) -> bool:
        """Whether the findings tell that it saves."""
        return self.needed == 0


@dataclass(frozen=True)
class Choice:
    """Places among the candidates: of `least` cost, and the `pick` that is proposed in its stead.

    The pick has the fewest visits in vain among those `alike` in cost; `is_at_end` where it lies at
    an end of the grid. `difference` sets it beside the policy in force; None where it is that.
    `shared` is the pick of those that share one set of lines, the pick itself unless classes have
    lines of their own in it (`analytics.tuning.proposal`).
    """

    least: int
    pick: int
    shared: int
    alike: int
    is_at_end: bool
    difference: Difference | None

    @property
    def is_recommended(self) -> bool:
        """Whether the pick may be adopted: told to save, and not at an end of the grid."""
        return self.difference is not None and self.difference.is_told and not self.is_at_end


def choose(
    weighed: Weighed, costs: Costs, quarters: int, most_visits: float | None = None
) -> Choice:
    """Return the policy to propose; those that need more than `most_visits` a quarter are left out.

    Of all candidates within one standard error of the least cost, the one with the fewest visits
    in vain (L. Breiman, J. H. Friedman, R. A. Olshen, C. J. Stone, Classification and Regression
    Trees, 1984, section 3.4.3, which picks the simplest tree so), of those that the findings tell
    to save against the policy in force. What the best of many flatters itself by is taken off:
    the mean, over redrawn fleets, of what the best there saves there less what it saves here
    (B. Efron, J. Am. Stat. Assoc. 78 (1983) 316).
    """
    cost = costs.missed * weighed.missed + costs.visit * weighed.wasted
    allowed = can_be_sent(weighed, quarters, most_visits)
    first = np.where(allowed, cost[:, 0], np.inf)
    least = least_cost(first, weighed.place, weighed.flags, weighed.is_at_end)
    saved = (cost[weighed.place] - cost) / quarters
    flattery = _flattery(np.where(allowed[:, None], cost, np.inf), saved)
    excess = cost - cost[least]
    alike = allowed & (excess[:, 0] <= np.std(excess[:, 1:], axis=1, ddof=1) + 1e-9)
    pick = least
    if not alike[weighed.place]:
        pick = _fewest_in_vain(weighed, alike & _told(weighed, saved, flattery), least)
    is_at_end = bool(weighed.is_at_end[pick]) and pick != weighed.place
    found = None if pick == weighed.place else difference(weighed, pick, saved[pick], flattery)
    return Choice(least, pick, pick, int(alike.sum()), is_at_end, found)


def can_be_sent(weighed: Weighed, quarters: int, most_visits: float | None) -> Bools:
    """Return the candidates that need no more visits than can be sent; that in force is one."""
    if most_visits is None:
        return np.ones(len(weighed.flags), bool)
    needed = weighed.flags.astype(np.float64) @ weighed.cells.totals()[0] / quarters
    allowed = needed <= most_visits
    allowed[weighed.place] = True
    return np.asarray(allowed)


def _flattery(cost: Array, saved: Array) -> float:
    """Return by how much the best of many is flattered [money a quarter], not below 0."""
    best = np.argmin(cost[:, 1:], axis=0)
    there = saved[best, np.arange(1, saved.shape[1])]
    return max(float(np.mean(there - saved[best, 0])), 0.0)


def _told(weighed: Weighed, saved: Array, flattery: float) -> Bools:
    """Return the candidates that the findings tell to save against the policy in force."""
    low = np.quantile(saved[:, 1:], (1 - LEVEL) / 2, axis=1) - flattery
    differ = weighed.flags != weighed.flags[weighed.place]
    count, examined, _ = weighed.cells.totals()
    among, seen = differ.astype(np.float64) @ count, differ.astype(np.float64) @ examined
    return np.asarray((low > 0) & (seen >= np.minimum(among, LEAST_AMONG)))


def _fewest_in_vain(weighed: Weighed, mask: Bools, least: int) -> int:
    """Return the one of `mask` with the fewest visits in vain, none at an end if it can be."""
    for one in (mask & ~weighed.is_at_end, mask):
        places = np.flatnonzero(one)
        if len(places):
            wasted, missed = (x[places, 0].round(9) for x in (weighed.wasted, weighed.missed))
            return int(places[np.lexsort((places, missed, wasted))[0]])
    return least


def difference(
    weighed: Weighed, pick: int, saved: Array, flattery: float, left_out: float = 1 - LEVEL
) -> Difference:
    """Set the pick beside the policy in force; `saved` holds the estimate and the draws.

    The ends leave out the share `left_out` of the draws [1].
    """
    low, high = np.quantile(saved[1:], [left_out / 2, 1 - left_out / 2]) - flattery
    differ = weighed.flags[pick] != weighed.flags[weighed.place]
    count, examined = (float(one[differ].sum()) for one in weighed.cells.totals()[:2])
    faulty = float(weighed.redrawn.faulty[0][differ].sum())
    value = float(saved[0]) - flattery
    is_told = low > 0 and examined >= min(LEAST_AMONG, count)
    return Difference(
        value,
        float(low),
        float(high),
        flattery,
        int(count),
        int(examined),
        faulty / count if count else float("nan"),
        0 if is_told else _needed(value, saved[1:], examined, count),
    )


def least_cost(cost: Array, in_force: int, flags: Bools, is_at_end: Bools | None = None) -> int:
    """Return the candidate of least cost; of equals the one nearest to the policy in force.

    Of those that flag alike one that is not at an end of the grid, where that is told.
    """
    moved = np.sum(flags != flags[in_force], axis=1)
    at_end = np.zeros(len(cost), bool) if is_at_end is None else is_at_end
    order = np.lexsort((np.arange(len(cost)), at_end, moved, np.round(cost, 9)))
    best = int(order[0])
    return in_force if cost[in_force] <= cost[best] + 1e-9 else best


def frontier(missed: Array, wasted: Array) -> list[int]:
    """Return the candidates that no other beats in both, from fewest wasted visits to most."""
    order = np.lexsort((np.arange(len(missed)), missed, np.round(wasted, 9)))
    kept: list[int] = []
    for one in order.tolist():
        if not kept or missed[one] < missed[kept[-1]] - 1e-9:
            kept.append(one)
    return kept


def _needed(saved: float, draws: Array, examined: float, count: float) -> int:
    """Return how many more findings where they differ would tell them apart.

    The spread of the saving falls as one over the root of the findings there.
    """
    unseen = max(count - examined, 1.0)
    spread = float(np.std(draws, ddof=1))
    wanted = float(LEAST_AMONG)
    if saved > 0:
        wanted = max(wanted, max(examined, 1.0) * (Z95 * spread / saved) ** 2)
    return int(min(max(np.ceil(wanted - examined), 1.0), unseen))
