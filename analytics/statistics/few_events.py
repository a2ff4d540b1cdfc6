"""Limits that hold with few events: a share, a weighted sum of rare events, a ratio of two."""

from __future__ import annotations

import numpy as np

from analytics.errors import UsageError
from analytics.statistics.proportions import wilson
from analytics.statistics.sourced import Numbers, numbers

Limits = tuple[float, float]


def share_limits(hits: float, count: float) -> Limits:
    """Return Wilson's 95 % limits of a share [1]; 0 and 1 where nothing was counted.

    Counts need not be whole: they may be effective ones. Formula and source: `proportions.wilson`.

    >>> [round(x, 4) for x in share_limits(81, 263)]
    [0.2553, 0.3662]
    """
    if count <= 0:
        return 0.0, 1.0
    low, high = wilson(min(hits, count), count)
    return float(low), float(high)


def gamma_limits(weight: Numbers, events: Numbers) -> Limits:
    """Return 95 % limits of Σ weight · events for rare events, seldom too narrow.

    Takes weights and counted events, shape (n,). With no event at all the lower limit is 0 and the
    upper one 3.69 of the largest weight. With one weight they are the exact Poisson limits.
    Raises UsageError where the shapes differ.
    Source: M. P. Fay, E. J. Feuer, Statistics in Medicine 16 (1997) 791 (from memory).

    >>> [round(x, 3) for x in gamma_limits([1.0], [10])]
    [4.795, 18.39]
    """
    from scipy.special import gammaincinv

    each, counted = np.atleast_1d(numbers(weight)), np.atleast_1d(numbers(events))
    if each.shape != counted.shape:
        raise UsageError("Weights and events differ in number.")
    if not len(each):
        return 0.0, 0.0
    total, variance = float(np.sum(each * counted)), float(np.sum(each**2 * counted))
    largest = float(each.max())
    low = 0.0
    if total > 0:
        low = variance / total * float(gammaincinv(total**2 / variance, 0.025))
    more, wider = total + largest, variance + largest**2
    return low, wider / more * float(gammaincinv(more**2 / wider, 0.975))


def ratio_limits(top: float, top_limits: Limits, bottom: float, bottom_limits: Limits) -> Limits:
    """Return limits of top / bottom from the limits of each, the two independent.

    Upper limit infinite where the bottom's lower limit is 0.
    Source: A. Donner, G. Y. Zou, Stat. Methods Med. Res. 21 (2012) 347 (from memory): MOVER.

    >>> [round(x, 3) for x in ratio_limits(0.0, (0.0, 3.69), 10.0, (10.0, 10.0))]
    [0.0, 0.369]
    """
    product = top * bottom
    (top_low, top_high), (low, high) = top_limits, bottom_limits
    lower = _root(product, top_low * (2 * top - top_low), high * (2 * bottom - high), -1)
    if low <= 0:
        return lower, float("inf")
    upper = _root(product, top_high * (2 * top - top_high), low * (2 * bottom - low), 1)
    return lower, upper


def _root(product: float, top: float, bottom: float, sign: int) -> float:
    """Return the limit; `top` and `bottom` are l(2θ − l) of the limit that leads there."""
    if bottom <= 0:
        return 0.0 if sign < 0 else float("inf")
    spread = float(np.sqrt(max(product**2 - top * bottom, 0.0)))
    return max((product + sign * spread) / bottom, 0.0)
