"""Every candidate on the findings, and on the findings of panels drawn anew."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from analytics.statistics.sourced import Array
from analytics.tuning.cells import Bools, Cells, Grid
from analytics.tuning.estimate import fault_shares
from analytics.tuning.lines import Lines

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
    the estimate first. `extras` are candidates beyond the grid, in order after its own.
    """

    cells: Cells
    grid: Grid
    flags: Bools
    place: int
    redrawn: Redrawn
    missed: Array
    wasted: Array
    extras: tuple[Lines, ...] = ()

    def lines(self, one: int) -> Lines:
        """Return where a candidate draws its lines."""
        beyond = one - len(self.grid.lines)
        return Lines(self.grid.lines[one]) if beyond < 0 else self.extras[beyond]

    @property
    def is_shared(self) -> Bools:
        """Whether a candidate holds one set of lines for all classes, shape (candidates,)."""
        return np.arange(len(self.flags)) < len(self.grid.lines)

    @property
    def is_at_end(self) -> Bools:
        """Whether a candidate lies at an end of the grid, shape (candidates,)."""
        return np.append(self.grid.is_at_end, np.zeros(len(self.extras), bool))

    def with_candidate(self, lines: Lines, flags: Bools) -> Weighed:
        """Return it with one more candidate, which flags the cells of `flags`, shape (cells,)."""
        row = flags[None, :]
        return replace(
            self,
            flags=np.concatenate([self.flags, row]),
            missed=np.concatenate([self.missed, self.redrawn.missed(row)]),
            wasted=np.concatenate([self.wasted, self.redrawn.wasted(row)]),
            extras=(*self.extras, lines),
        )


def redraw(cells: Cells, seed: int = 1, among: Bools | None = None) -> Redrawn:
    """Draw whole panels with replacement, since their devices go together.

    A fixed seed, so that the same store says the same. With `among`, shape (panels,), only those
    panels count, in the very same draws.
    """
    rng, size = np.random.default_rng(seed), cells.panel_count
    kept = np.ones(size) if among is None else among.astype(np.float64)
    parts = [_parts(cells, kept)]
    for _ in range(DRAWS):
        weight = np.bincount(rng.integers(0, size, size), minlength=size).astype(np.float64)
        parts.append(_parts(cells, weight * kept))
    both = np.array(parts)
    return Redrawn(both[:, 0], both[:, 1])


def weigh(cells: Cells, grid: Grid, in_force: Lines) -> Weighed:
    """Weigh every candidate of the grid on the cells and on fleets drawn anew.

    Where classes have lines of their own in the policy in force it is weighed as it is, beside the
    grid: by what it flags.
    """
    flags, redrawn = cells.flagged_by(grid), redraw(cells)
    place = len(grid.lines) if in_force.own else grid.lines.index(in_force.shared)
    found = Weighed(
        cells, grid, flags, place, redrawn, redrawn.missed(flags), redrawn.wasted(flags)
    )
    return found.with_candidate(in_force, cells.is_flagged) if in_force.own else found


def _parts(cells: Cells, weight: Array) -> tuple[Array, Array]:
    totals = cells.totals(weight)
    share = fault_shares(cells, totals)
    return totals[0] * share, totals[0] * (1 - share)


def spread(values: Array) -> Spread:
    """Return the 95 % interval of redrawn values, widened to hold the estimate, which is first."""
    low, high = np.quantile(values[1:], [(1 - LEVEL) / 2, (1 + LEVEL) / 2])
    return float(min(low, values[0])), float(max(high, values[0]))
