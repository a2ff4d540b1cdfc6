"""The arithmetic of one pass of a load law, from the sums that SQL returned: step, medians, spread.

`rows` are those of `queries/checks/load_pass.sql`, one a band of load-driven rise.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from analytics.settings import LEAST_NOISE_K
from analytics.statistics.robust import MAD_ROUNDED
from analytics.statistics.robust_steps import solve_symmetric
from analytics.statistics.sourced import Array
from analytics.statistics.spread_law import fit_spread

BINS = 12
"""Bands of load-driven rise [1]: below half a kelvin, then octaves."""
LEAST_ROWS = 5
"""Rows that a band must have to tell a spread [1]; chosen, as the fit does."""
LONGEST_STEP = 0.5
"""Most that the logarithm of the gain, or the exponent, moves in a pass [1]; chosen."""


def counts_of(rows: Sequence[tuple[Any, ...]]) -> Array:
    """Return the rows of each band, 1 where it has none, (BINS,)."""
    counts = np.ones(BINS)
    counts[[int(row[0]) + 1 for row in rows]] = [row[1] for row in rows]
    return counts


def middles_of(rows: Sequence[tuple[Any, ...]], step: Array, before: Array) -> Array:
    """Return each band's median size after the step [K], nan where its bracket does not hold it.

    Exact while no row from outside the bracket gets into it.
    """
    middles = before.copy()
    for bin_, count, _, below, inside, *_ in rows:
        if count < LEAST_ROWS:
            continue
        near = np.asarray(inside or [], dtype=float).reshape(-1, 3)
        ordered = np.sort(np.abs(near[:, 0] - step[0] - near[:, 1:] @ step[1:]))
        first, last = (count - 1) // 2 - below, count // 2 - below
        is_held = first >= 0 and last < len(ordered)
        middles[int(bin_) + 1] = (ordered[first] + ordered[last]) / 2.0 if is_held else np.nan
    return middles


def spread_of(rows: Sequence[tuple[Any, ...]], middles: Array) -> tuple[float, float]:
    """Return noise [K] and share of the load-driven rise [1], given each band's median size [K]."""
    told = [row for row in rows if row[1] >= LEAST_ROWS]
    counts = [row[1] for row in told]
    rises = [math.sqrt(row[2] / row[1]) for row in told]
    spreads = [middles[int(row[0]) + 1] / MAD_ROUNDED for row in told]
    return fit_spread(counts, rises, spreads, LEAST_NOISE_K)


def step_of(rows: Sequence[tuple[Any, ...]]) -> tuple[Array, float]:
    """Return a Newton step (3,), and its length at a row [standard deviations]."""
    sums = np.array([math.fsum(column) for column in zip(*(row[5:] for row in rows), strict=True)])
    right, slopes, weight = sums[:3], sums[3:9], sums[9]
    matrix = np.zeros((3, 3))
    matrix[np.triu_indices(3)] = slopes
    matrix += np.triu(matrix, 1).T
    step = solve_symmetric(matrix, right)
    longest = float(np.max(np.abs(step[1:])))
    step = step * min(1.0, LONGEST_STEP / longest) if longest > 0 else step
    return step, math.sqrt(abs(float(step @ matrix @ step)) / weight)
