"""The policy of least cost, how sure that is, and when the findings cannot tell."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analytics.statistics.proportions import Z95
from analytics.statistics.sourced import Array
from analytics.tuning.cells import Bools, Cells
from analytics.tuning.estimate import fault_shares

DRAWS = 400
"""Draws of the bootstrap; chosen: ends of a 95 % interval then lie on ten draws each."""
Spread = tuple[float, float]
"""Ends of a 95 % interval."""
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
    """The least-cost policy against the one in force, over all readings; money saved per quarter.

    `needed` is how many more findings, among the devices where the two differ, would tell them
    apart if those found so far are typical; 0 where they can be told apart already.
    """

    saved: float
    low: float
    high: float
    differing_count: int
    examined_among: int
    faulty_share_among: float
    needed: int

    @property
    def is_told(self) -> bool:
        """Whether the findings tell that it saves."""
        return self.needed == 0


def cost_parts(
    cells: Cells, flags: Bools, totals: tuple[Array, Array, Array]
) -> tuple[Array, Array]:
    """Return faults missed and visits wasted by each candidate in all, shape (candidates,)."""
    share = fault_shares(cells, totals)
    faulty, sound = totals[0] * share, totals[0] * (1 - share)
    return (~flags).astype(np.float64) @ faulty, flags.astype(np.float64) @ sound


def least_cost(cost: Array, in_force: int, flags: Bools) -> int:
    """Return the candidate of least cost; of equals the one nearest to the policy in force."""
    moved = np.sum(flags != flags[in_force], axis=1)
    order = np.lexsort((np.arange(len(cost)), moved, np.round(cost, 9)))
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


def compare(
    cells: Cells, flags: Bools, pair: tuple[int, int], costs: Costs, quarters: int, seed: int = 1
) -> Difference:
    """Return what candidate `pair[0]` saves against `pair[1]`, by drawing panels anew.

    Panels are drawn with replacement, whole, since their devices go together. A fixed seed, so that
    the same store says the same.
    """
    both = flags[list(pair)]
    totals = cells.totals()
    saved = _saving(cells, both, totals, costs) / quarters
    rng, size = np.random.default_rng(seed), cells.panel_count
    draws = np.array(
        [
            _saving(cells, both, cells.totals(_weights(rng, size)), costs) / quarters
            for _ in range(DRAWS)
        ]
    )
    low, high = np.quantile(draws, [0.025, 0.975])
    differ = both[0] != both[1]
    count, examined = (float(one[differ].sum()) for one in totals[:2])
    share = fault_shares(cells, totals)
    modelled = float(np.sum((totals[0] * share)[differ]) / count) if count else float("nan")
    is_told = low > 0 and examined >= min(LEAST_AMONG, count)
    needed = 0 if is_told else _needed(saved, draws, examined, count)
    return Difference(saved, float(low), float(high), int(count), int(examined), modelled, needed)


def part_spreads(
    cells: Cells, flags: Bools, quarters: int, seed: int = 1
) -> list[tuple[Spread, Spread]]:
    """Return 95 % intervals of faults missed and visits wasted a quarter, by drawing panels anew.

    `flags` of shape (candidates, cells); one pair a candidate, ends not inside the estimate's own.
    """
    rng, size = np.random.default_rng(seed), cells.panel_count
    draws = np.array(
        [cost_parts(cells, flags, cells.totals(_weights(rng, size))) for _ in range(DRAWS)]
    )
    low, high = np.quantile(draws, [0.025, 0.975], axis=0) / quarters
    value = np.array(cost_parts(cells, flags, cells.totals())) / quarters
    low, high = np.minimum(low, value), np.maximum(high, value)
    ends = np.stack([low, high], axis=2)
    return [
        ((float(m[0]), float(m[1])), (float(w[0]), float(w[1])))
        for m, w in zip(ends[0], ends[1], strict=True)
    ]


def _weights(rng: np.random.Generator, size: int) -> Array:
    return np.bincount(rng.integers(0, size, size), minlength=size).astype(np.float64)


def _saving(cells: Cells, both: Bools, totals: tuple[Array, Array, Array], costs: Costs) -> float:
    missed, wasted = cost_parts(cells, both, totals)
    cost = costs.missed * missed + costs.visit * wasted
    return float(cost[1] - cost[0])


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
