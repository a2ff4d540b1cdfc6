"""The policies that are weighed in turn: each flags all that the one before flags, and more."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analytics.statistics.sourced import Array
from analytics.tuning.bands import Bools
from analytics.tuning.cells import Grid


@dataclass(frozen=True)
class Chain:
    """Places in the grid, from the policy with the fewest flags to that with the most.

    `start` is where the policy in force stands among them. Since each flags all that the former
    flags, missed faults fall and visits in vain rise along it on any findings whatever: the place
    of least cost never moves back when a missed fault grows dearer.
    """

    places: tuple[int, ...]
    start: int
    is_end: tuple[bool, ...]
    """Whether its chance is the least or the largest of those tried."""

    def first_best(self, missed: Array, wasted: Array, ratio: float, stop: int) -> Array:
        """Return the step of least cost among the first `stop`, of equals the one with fewer flags.

        Takes arrays of shape (steps, draws) and what a missed fault costs in visits; returns
        (draws,). Source: D. M. Topkis, Operations Research 26 (1978) 305, for why it rises with
        the ratio (from memory).
        """
        cost = np.round(ratio * missed[:stop] + wasted[:stop], 9)
        return np.asarray(np.argmin(cost, axis=0))


def chain(grid: Grid, flags: Bools, place: int) -> Chain:
    """Lay out the chain through the policy in force, which stands at `place` of the grid.

    Stricter than it: the chance line rises, the other lines stay. Looser: the other lines are at
    the lowest tried and the chance line falls, since the chance weighs what they weigh too. Of
    those that flag the same devices one is kept.
    """
    chance, ratio, lift, load = grid.lines[place]
    falling = sorted(grid.probabilities, reverse=True)
    lowest = (grid.heat_ratios[0], grid.lifts_k[0], grid.load_shares[0])
    wanted = [(one, ratio, lift, load) for one in falling if one >= chance]
    wanted += [(one, *lowest) for one in falling if one <= chance]
    at = {lines: number for number, lines in enumerate(grid.lines)}
    kept: list[int] = []
    for one in (at[lines] for lines in wanted):
        if kept and np.array_equal(flags[one], flags[kept[-1]]):
            if one == place:
                kept[-1] = one
            continue
        kept.append(one)
    ends = (grid.probabilities[0], grid.probabilities[-1])
    return Chain(tuple(kept), kept.index(place), tuple(grid.lines[one][0] in ends for one in kept))
