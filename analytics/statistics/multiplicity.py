"""Many readings judged at once: adjusted p-values, share of true nulls, local false discovery."""

from __future__ import annotations

import numpy as np

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics.sourced import Array, Numbers, numbers


def benjamini_hochberg(p_value: Numbers) -> Array:
    """Return the adjusted p-values: flagging those up to q holds the false share at q or less.

    Takes p-values, shape (n,); NaN stays NaN and does not count. Valid for independent or
    positively dependent p-values. Raises UsageError outside 0 to 1.
    Source: Y. Benjamini, Y. Hochberg, J. R. Stat. Soc. B 57 (1995) 289.

    >>> benjamini_hochberg([0.01, 0.04, 0.03]).round(3).tolist()
    [0.03, 0.04, 0.04]
    """
    values = _checked(p_value)
    known = np.flatnonzero(~np.isnan(values))
    order = known[np.argsort(values[known], kind="stable")]
    raised = values[order] * len(order) / np.arange(1, len(order) + 1)
    adjusted = np.full(len(values), np.nan)
    adjusted[order] = np.minimum(np.minimum.accumulate(raised[::-1])[::-1], 1.0)
    return adjusted


def null_share(p_value: Numbers, threshold: float = 0.5) -> float:
    """Estimate the share of readings with nothing the matter [1] from the flat end of p-values.

    Takes p-values, shape (n,), NaN left out. Too high on average, never too low by much; at most 1.
    Formula: #{p > λ} / (n (1 − λ)). Raises NotEnoughDataError without p-values.
    Source: J. D. Storey, J. R. Stat. Soc. B 64 (2002) 479.

    >>> null_share([0.01, 0.02, 0.6, 0.9])
    1.0
    """
    values = _checked(p_value)
    count = int(np.sum(~np.isnan(values)))
    if not count:
        raise NotEnoughDataError("There are no p-values.")
    return float(min(1.0, np.sum(values > threshold) / (count * (1 - threshold))))


def local_false_share(null_density: Numbers, other_density: Numbers, share_null: Numbers) -> Array:
    """Return the chance [1] that a reading with these densities is one of the null group.

    Takes the density of the score under the null and under the other group, same unit, and the
    share of nulls [1], broadcastable. With tail chances in place of densities it is the share of
    nulls among all readings at least as extreme. NaN where both are nil.
    Formula: π0 f0 / (π0 f0 + (1 − π0) f1). Source: B. Efron, Large-Scale Inference (2010), ch. 5.

    >>> round(float(local_false_share(0.054, 0.242, 0.9)), 2)
    0.67
    """
    null = numbers(share_null) * numbers(null_density)
    total = null + (1 - numbers(share_null)) * numbers(other_density)
    return np.asarray(null / np.where(total > 0, total, np.nan))


def _checked(p_value: Numbers) -> Array:
    values = numbers(p_value)
    if np.any((values < 0) | (values > 1)):
        raise UsageError("A p-value lies outside 0 to 1.")
    return values
