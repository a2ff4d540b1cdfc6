"""How long a chart runs on average before it signals, in steady state or after a shift.

The integral equation of the run length, solved on Gauss–Legendre nodes (Nyström's method).
"""

from __future__ import annotations

import numpy as np
from scipy.special import ndtr

from analytics.errors import UsageError
from analytics.statistics.sourced import Array

NODES = 60
"""Nodes of the rule [1]; chosen: twice as many change no published digit."""


def cusum_run_length(slack: float, decision: float, shift: float = 0.0) -> float:
    """Return the mean run length [points] of the two-sided cumulative sum from nil.

    Takes slack, limit and the shift of the mean, in standard deviations of independent normal
    values. Raises UsageError for a limit that is not over 0.
    Formula: 1/L = 1/L⁺ + 1/L⁻ with L(u) = 1 + Φ(k − δ − u) L(0) + ∫ φ(y + k − δ − u) L(y) dy.
    Source: E. S. Page 1954; K. W. Kemp, J. R. Stat. Soc. B 23 (1961) 149; Montgomery, table 9.3
    (from memory).

    >>> round(cusum_run_length(0.5, 5.0)), round(cusum_run_length(0.5, 5.0, 1.0), 1)
    (465, 10.4)
    """
    if decision <= 0:
        raise UsageError("The limit of a cumulative sum must be over 0.")
    up, down = (_one_sided(slack, decision, sign * shift) for sign in (1.0, -1.0))
    return 1.0 / (1.0 / up + 1.0 / down)


def _one_sided(slack: float, decision: float, shift: float) -> float:
    node, weight = _rule(0.0, decision)
    at = np.concatenate([[0.0], node])
    kernel = np.empty((len(at), len(at)))
    kernel[:, 0] = ndtr(slack - shift - at)
    kernel[:, 1:] = weight * _density(node[None, :] + slack - shift - at[:, None])
    return float(np.linalg.solve(np.eye(len(at)) - kernel, np.ones(len(at)))[0])


def ewma_run_length(weight: float, width: float, shift: float = 0.0) -> float:
    """Return the mean run length [points] of the moving average from its target.

    Takes the weight of the newest value [1], the limits' distance in standard deviations of the
    average in the long run [1] and the shift of the mean in those of a value [1].
    Raises UsageError for a weight outside 0 to 1 or a width that is not over 0.
    Formula: L(u) = 1 + 1/λ ∫ φ((y − (1 − λ) u)/λ − δ) L(y) dy over the limits.
    Source: S. V. Crowder, Technometrics 29 (1987) 401; J. M. Lucas, M. S. Saccucci, Technometrics
    32 (1990) 1 (from memory).

    >>> round(ewma_run_length(0.1, 2.814))
    500
    """
    if not 0 < weight <= 1 or width <= 0:
        raise UsageError("A moving average needs a weight in 0 to 1 and limits over 0.")
    limit = width * np.sqrt(weight / (2 - weight))
    node, rule = _rule(-limit, limit)
    at = np.concatenate([[0.0], node])
    gap = (node[None, :] - (1 - weight) * at[:, None]) / weight - shift
    kernel = rule * _density(gap) / weight
    inner = np.linalg.solve(np.eye(len(node)) - kernel[1:], np.ones(len(node)))
    return float(1.0 + kernel[0] @ inner)


def _rule(low: float, high: float) -> tuple[Array, Array]:
    node, weight = np.polynomial.legendre.leggauss(NODES)
    half = (high - low) / 2
    return half * (node + 1) + low, half * weight


def _density(z: Array) -> Array:
    return np.asarray(np.exp(-0.5 * z**2) / np.sqrt(2 * np.pi))
