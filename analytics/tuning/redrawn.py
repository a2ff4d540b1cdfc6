"""Every candidate on the findings, and on the findings of panels drawn anew."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analytics.statistics.sourced import Array
from analytics.tuning.cells import Bools, Cells, Grid
from analytics.tuning.estimate import fault_shares

DRAWS = 800
"""Draws of the bootstrap; chosen: ends of a 95 % interval then lie on twenty draws each."""
LEVEL = 0.95
"""Share of draws between the ends of an interval [1]; the usual one."""
Spread = tuple[float, float]
"""Ends of a 95 % interval."""


@dataclass(frozen=True)
class Redrawn:
    """Faulty and sound devices of each cell, shape (1 + draws, cells): as found, then redrawn."""

    faulty: Array
    sound: Array

    def missed(self, flags: Bools) -> Array:
        """Return faults missed by each candidate, shape (candidates, 1 + draws)."""
        return (~flags).astype(np.float64) @ self.faulty.T

    def wasted(self, flags: Bools) -> Array:
        """Return visits in vain of each candidate, shape (candidates, 1 + draws)."""
        return flags.astype(np.float64) @ self.sound.T


@dataclass(frozen=True)
class Weighed:
    """Every candidate of the grid on the cells: what it flags, misses and sends in vain.

    `place` is the policy in force's; `missed` and `wasted`, of shape (candidates, 1 + draws), hold
    the estimate first.
    """

    cells: Cells
    grid: Grid
    flags: Bools
    place: int
    redrawn: Redrawn
    missed: Array
    wasted: Array


def redraw(cells: Cells, seed: int = 1) -> Redrawn:
    """Draw whole panels with replacement, since their devices go together.

    A fixed seed, so that the same store says the same.
    """
    rng, size = np.random.default_rng(seed), cells.panel_count
    parts = [_parts(cells, None)]
    for _ in range(DRAWS):
        weight = np.bincount(rng.integers(0, size, size), minlength=size).astype(np.float64)
        parts.append(_parts(cells, weight))
    both = np.array(parts)
    return Redrawn(both[:, 0], both[:, 1])


def weigh(cells: Cells, grid: Grid, place: int) -> Weighed:
    """Weigh every candidate of the grid on the cells and on fleets drawn anew."""
    flags, redrawn = cells.flagged_by(grid), redraw(cells)
    return Weighed(cells, grid, flags, place, redrawn, redrawn.missed(flags), redrawn.wasted(flags))


def _parts(cells: Cells, weight: Array | None) -> tuple[Array, Array]:
    totals = cells.totals(weight)
    share = fault_shares(cells, totals)
    return totals[0] * share, totals[0] * (1 - share)


def spread(values: Array) -> Spread:
    """Return the 95 % interval of redrawn values, widened to hold the estimate, which is first."""
    low, high = np.quantile(values[1:], [(1 - LEVEL) / 2, (1 + LEVEL) / 2])
    return float(min(low, values[0])), float(max(high, values[0]))
