"""The policy to propose, how sure that is, and when the findings cannot tell."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analytics.statistics.proportions import Z95
from analytics.statistics.sourced import Array
from analytics.tuning.bands import Bools
from analytics.tuning.redrawn import LEVEL, Weighed

LEAST_AMONG = 10
"""Findings where two policies differ below which they are not told apart: there the recalibration
speaks, not the findings. Chosen."""
NEARLY = 0.9
"""Share of the highest lower end [1] that counts as nearly it, where that is above nil; chosen."""
WANTED_AT = 0.25
"""Share of redrawn fleets [1] that want a stricter policy than the one proposed; chosen: with a
half, the true cost was 0.2 % less on the average and a quarter more visits were in vain."""


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
class Limit:
    """Visits a quarter: the most that can be sent, and what policies need that exceed it.

    `strictest` is what the strictest policy tried needs.
    """

    most: float
    in_force: float
    strictest: float


@dataclass(frozen=True)
class Difference:
    """A policy against the one in force, over all readings; money saved per quarter.

    `saved` has `flattery` taken off, what picking the best of many adds, and lies within its 95 %
    interval, which holds for the policy as if it had not been picked. `needed` is how many more
    findings, among the devices where the two differ, would tell them apart if those found so far
    are typical; 0 where they can be told apart already, None where it is not expected to save.
    """

    saved: float
    low: float
    high: float
    flattery: float
    differing_count: int
    examined_among: int
    faulty_share_among: float
    needed: int | None

    @property
    def is_told(self) -> bool:
        """Whether the findings tell that it saves."""
        return self.needed == 0


@dataclass(frozen=True)
class Choice:
    """Places among the candidates: of `least` cost, the `pick` that is proposed.

    `shared` is the pick of those that share one set of lines, on the chain; the pick itself unless
    classes have lines of their own in it (`analytics.tuning.proposal`). `quieter` is the one whose
    saving is surest, between the policy in force and the shared pick; None where there is none.
    `best_in` says in which share of redrawn fleets [1] each policy of the chain costs least.
    `is_at_end` where the pick lies at an end of the chances tried. `difference` sets it beside the
    policy in force; None where it is that. `limit` is there where the policy in force needs more
    visits than can be sent.
    """

    least: int
    pick: int
    shared: int
    quieter: int | None
    best_in: tuple[float, ...]
    is_at_end: bool
    difference: Difference | None
    limit: Limit | None = None

    @property
    def is_recommended(self) -> bool:
        """Whether the pick may be adopted: told to save, and not at an end of the chances tried."""
        return self.difference is not None and self.difference.is_told and not self.is_at_end


def choose(
    weighed: Weighed, costs: Costs, quarters: int, most_visits: float | None = None
) -> Choice:
    """Return the policy to propose; those that need more than `most_visits` a quarter are left out.

    On every redrawn fleet the policy of the chain that costs least there is found, and the lower
    quartile of these is wanted (L. Breiman, Machine Learning 24 (1996) 123: picks put together
    over redrawn data are steadier than one pick). Proposed is the one nearest to it, between it and
    the policy in force, that the findings tell to save; where none is told, the one wanted is set
    beside that in force, and where none is wanted, the middle of those looked up. A dearer missed
    fault never proposes fewer visits (`Chain`).
    """
    line, places = weighed.chain, np.array(weighed.chain.places)
    missed, wasted = weighed.missed[places], weighed.wasted[places]
    stop, limit = _fitting(weighed, quarters, most_visits)
    if not stop:
        now, nothing = weighed.place, (0.0,) * len(places)
        return Choice(now, now, now, None, nothing, False, None, limit)
    best = line.first_best(missed, wasted, costs.missed / costs.visit, stop)
    saved = _saved(weighed, costs, missed, wasted) / quarters
    step, is_told = _step(weighed, saved, np.sort(best[1:]), is_held=limit is not None)
    if places[step] == weighed.place or not (is_told or limit or saved[step, 0] > 0):
        pick, found = weighed.place, None
    else:
        pick, found = int(places[step]), _difference(weighed, step, saved, is_told=is_told)
    return Choice(
        weighed.place if saved[best[0], 0] <= 0 else int(places[best[0]]),
        pick,
        pick,
        _surest(weighed, saved, step) if found else None,
        tuple((np.bincount(best[1:], minlength=len(places)) / (len(best) - 1)).tolist()),
        found is not None and (line.is_end[step] or not _is_tried(weighed, costs)),
        found,
        limit,
    )


def _saved(weighed: Weighed, costs: Costs, missed: Array, wasted: Array) -> Array:
    """Return what each step saves in all against the policy in force, (steps, 1 + draws)."""
    gained = weighed.missed[weighed.place] - missed
    return costs.missed * gained + costs.visit * (weighed.wasted[weighed.place] - wasted)


def _step(weighed: Weighed, saved: Array, best: Array, *, is_held: bool) -> tuple[int, bool]:
    """Return the step to set beside the policy in force, and whether it is told to save.

    `best` are the steps of least cost of the redrawn fleets, rising; with `is_held` the policy in
    force cannot be kept.
    """
    wanted, middle = (int(best[int(at * (len(best) - 1))]) for at in (WANTED_AT, 0.5))
    if is_held:
        return wanted, False
    ends = weighed.chain.is_end
    told = [one for one in _between(weighed, wanted) if _is_told(weighed, one, saved)]
    inner = [one for one in told if not ends[one]]
    if told:
        return (inner or told)[0], True
    return (middle if weighed.chain.places[wanted] == weighed.place else wanted), False


def _is_tried(weighed: Weighed, costs: Costs) -> bool:
    """Tell whether the chance from which a visit pays lies among those tried."""
    chances = weighed.grid.probabilities
    return chances[0] <= costs.break_even <= chances[-1]


def _fitting(
    weighed: Weighed, quarters: int, most_visits: float | None
) -> tuple[int, Limit | None]:
    """Return how many steps of the chain fit, and the limit where the policy in force does not."""
    places = list(weighed.chain.places)
    if most_visits is None:
        return len(places), None
    needed = _visits(weighed, quarters)
    stop, in_force = int(np.sum(needed[places] <= most_visits)), float(needed[weighed.place])
    if in_force <= most_visits:
        return max(stop, 1), None
    return stop, Limit(most_visits, in_force, float(needed[places[0]]))


def _visits(weighed: Weighed, quarters: int) -> Array:
    """Return the visits that every candidate needs a quarter, shape (candidates,)."""
    return np.asarray(weighed.flags.astype(np.float64) @ weighed.cells.totals()[0] / quarters)


def can_be_sent(weighed: Weighed, quarters: int, most_visits: float | None) -> Bools:
    """Return the candidates that need no more visits than can be sent; that in force is one."""
    if most_visits is None:
        return np.ones(len(weighed.flags), bool)
    allowed = _visits(weighed, quarters) <= most_visits
    allowed[weighed.place] = True
    return np.asarray(allowed)


def _between(weighed: Weighed, step: int) -> list[int]:
    """Return the steps from one towards the policy in force, which is left out.

    Where that has lines of classes' own it is off the chain, and its shared lines count too.
    """
    line = weighed.chain
    found = list(range(step, line.start, -1 if step > line.start else 1))
    return found if line.places[line.start] == weighed.place else [*found, line.start]


def _is_told(weighed: Weighed, step: int, saved: Array) -> bool:
    """Tell whether the findings tell a step of the chain from the policy in force."""
    low = np.quantile(saved[step, 1:], (1 - LEVEL) / 2)
    count, examined, _ = _differing(weighed, weighed.chain.places[step])
    return bool(low > 0 and examined >= min(LEAST_AMONG, count))


def _surest(weighed: Weighed, saved: Array, step: int) -> int | None:
    """Return the place between the policy in force and a step whose saving is surest.

    The nearest to the policy in force whose lower end is nearly the highest.
    """
    between = _between(weighed, step)[:0:-1]
    if not between:
        return None
    low = np.quantile(saved[between, 1:], (1 - LEVEL) / 2, axis=1)
    return weighed.chain.places[between[int(np.argmax(low >= min(NEARLY * low.max(), low.max())))]]


def _differing(weighed: Weighed, place: int) -> tuple[float, float, float]:
    """Return devices where a candidate and the policy in force differ, examined, faulty of them."""
    differ = weighed.flags[place] != weighed.flags[weighed.place]
    count, examined = (float(one[differ].sum()) for one in weighed.cells.totals()[:2])
    return count, examined, float(weighed.redrawn.faulty[0][differ].sum())


def _difference(weighed: Weighed, step: int, saved: Array, *, is_told: bool) -> Difference:
    """Set a step beside the policy in force; `saved` holds the estimate and the draws, a quarter.

    What the best of those up to it flatters itself by is the mean, over redrawn fleets, of what
    the best there saves there less what it saves here (B. Efron, J. Am. Stat. Assoc. 78 (1983)
    316).
    """
    tried = np.vstack([np.zeros(saved.shape[1]), saved[_between(weighed, step)]])
    best = np.argmax(tried[:, 1:], axis=0)
    there = tried[best, 1 + np.arange(tried.shape[1] - 1)]
    flattery = max(float(np.mean(there - tried[best, 0])), 0.0)
    place = weighed.chain.places[step]
    return difference(weighed, place, saved[step], flattery, is_open=is_told)


def difference(
    weighed: Weighed,
    pick: int,
    saved: Array,
    flattery: float,
    left_out: float = 1 - LEVEL,
    *,
    is_open: bool = True,
) -> Difference:
    """Set the pick beside the policy in force; `saved` holds the estimate and the draws.

    The ends leave out the share `left_out` of the draws [1]; without `is_open` it is not told.
    """
    low, high = (float(one) for one in np.quantile(saved[1:], [left_out / 2, 1 - left_out / 2]))
    count, examined, faulty = _differing(weighed, pick)
    found = float(saved[0])
    is_told = is_open and low > 0 and examined >= min(LEAST_AMONG, count)
    return Difference(
        min(max(found - flattery, min(low, found)), high),
        low,
        high,
        flattery,
        int(count),
        int(examined),
        faulty / count if count else float("nan"),
        0 if is_told else _needed(found - flattery, saved[1:], examined, count),
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


def _needed(saved: float, draws: Array, examined: float, count: float) -> int | None:
    """Return how many more findings where they differ would tell them apart.

    The spread of the saving falls as one over the root of the findings there. None where nothing
    is expected to be saved: more findings would as soon speak for the policy in force.
    """
    unseen = count - examined
    if saved <= 0 or unseen < 1:
        return None
    spread = float(np.std(draws, ddof=1))
    wanted = max(examined, 1.0) * (Z95 * spread / saved) ** 2
    return int(min(np.ceil(max(wanted - examined, LEAST_AMONG)), unseen))
