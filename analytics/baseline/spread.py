"""How wide healthy readings scatter: a constant and a part that grows with the load-driven rise."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from analytics import settings as st
from analytics.baseline import minutes as mn
from analytics.baseline.effects import Effects
from analytics.baseline.state import CHANNELS, Array, Groups
from analytics.statistics.spread_law import fit_spread
from analytics.warehouse import Warehouse

POOLED_ROWS = 30.0
"""Rows that the channel's common spread counts for in each group [1]; chosen."""


@dataclass(frozen=True)
class Bins:
    """Rows of `fitting.spread_bin` and `fitting.minute_spread`."""

    by_rise: list[tuple[Any, ...]]
    by_minutes: list[tuple[Any, ...]]


def read_spread(warehouse: Warehouse) -> Bins:
    """Look at how far the residuals scatter."""
    return Bins(warehouse.rows("fitting.spread_bin"), warehouse.rows("fitting.minute_spread"))


def update_spread(found: Bins, groups: Groups, effects: Effects, inflation: Array) -> float:
    """Fit variance = noise² + (share · load-driven rise)² by group; return the largest change.

    The bins' robust spreads are pooled towards the channel's common fit, so that a group with few
    rows borrows it. `inflation` (count,) makes up for what fitting its own rows hides, n / (n - p).
    Spreads that are held stand still.
    """
    if effects.is_held:
        return 0.0
    bins = [(*b[:4], b[4] * float(np.sqrt(inflation[b[0] - 1]))) for b in found.by_rise]
    before = np.concatenate([groups.noise_k, groups.noise_share])
    usual = np.full(len(CHANNELS), st.USUAL_NOISE_SHARE)
    for channel in sorted(set(groups.channel)):
        mine = [b for b in bins if groups.channel[b[0] - 1] == channel]
        if not mine:
            continue
        common = _pooled(mine, (st.USUAL_NOISE_K, st.USUAL_NOISE_SHARE))
        usual[CHANNELS.index(channel)] = common[1]
        for g in range(groups.count):
            if groups.channel[g] == channel:
                own = [b for b in mine if b[0] - 1 == g]
                groups.noise_k[g], groups.noise_share[g] = _pooled(own, common)
    mn.update_spreads(effects.minute_spread, effects.late_share, usual, found.by_minutes)
    after = np.concatenate([groups.noise_k, groups.noise_share])
    return float(np.max(np.abs(after - before) / np.maximum(before, 0.05)))


def _columns(bins: list[tuple[int, int, int, float, float]]) -> Array:
    """Return (count, 3): readings, load-driven rise [K], spread [K]."""
    return np.array([[b[2], b[3], b[4]] for b in bins], dtype=float).reshape(-1, 3)


def _pooled(
    own: list[tuple[int, int, int, float, float]], common: tuple[float, float]
) -> tuple[float, float]:
    table = _columns(own)
    rise = np.array([0.5, 2.0, 6.0, 12.0, 24.0])
    spread = np.hypot(common[0], common[1] * rise)
    pseudo = np.column_stack([np.full(5, POOLED_ROWS / 5.0), rise, spread])
    counts, rises, spreads = np.vstack([table, pseudo]).T
    return fit_spread(counts, rises, spreads, st.LEAST_NOISE_K)
