"""How spread grows with the load-driven rise: variance = noise² + (share · rise)²."""

from __future__ import annotations

import numpy as np

from analytics.statistics.sourced import Numbers, numbers

PASSES = 10
"""Passes of reweighting [1]; chosen: the weights stand still by then."""


def fit_spread(
    counts: Numbers, rises_k: Numbers, spreads_k: Numbers, least_k: float
) -> tuple[float, float]:
    """Return noise [K], at least `least_k`, and share [1], from the spreads of bands of rises.

    Takes readings [1], load-driven rise [K] and spread [K] of each band, shapes (bands,).
    Non-negative least squares of spread² on 1 and rise². A band weighs as a chi-square's variance
    asks, by the spread that the law gives it and not by its own: bands of few rows that happen to
    agree would otherwise rule, and the law come out too narrow.
    Source: chosen; R. J. Carroll, D. Ruppert, Transformation and Weighting in Regression (1988),
    ch. 3.

    >>> noise, share = fit_spread([100, 100], [1.0, 10.0], [1.0, 2.0], 0.25)
    >>> round(noise, 3), round(share, 3)
    (0.985, 0.174)
    """
    from scipy.optimize import nnls

    count, rise = numbers(counts), numbers(rises_k)
    square = np.maximum(numbers(spreads_k), least_k) ** 2
    plain = np.column_stack([np.ones_like(rise), rise**2])
    law = np.full_like(square, np.average(square, weights=count))
    for _ in range(PASSES):
        weight = np.sqrt(count) / np.maximum(law, least_k**2)
        solution, _ = nnls(plain * weight[:, None], square * weight)
        law = plain @ solution
    return max(float(np.sqrt(solution[0])), least_k), float(np.sqrt(solution[1]))
