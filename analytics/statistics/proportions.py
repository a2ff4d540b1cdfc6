"""Shares with their intervals: Wilson, Clopper–Pearson, and Newcombe's difference of two shares."""

from __future__ import annotations

import numpy as np
from scipy.special import betaincinv

from analytics.errors import UsageError
from analytics.statistics.sourced import Array, Numbers, numbers

Z95 = 1.959963984540054
"""Standard errors of a two-sided 95 % interval of the normal law [1]."""


def wilson(
    hits: Numbers, totals: Numbers, z: float = Z95, *, is_corrected: bool = False
) -> tuple[Array, Array]:
    """Return the lower and upper end [1] of Wilson's score interval of each share.

    Takes counts of hits and totals, broadcastable, and the width in standard errors [1].
    `is_corrected` takes half a count off for continuity: at least as wide as promised. NaN without
    a total. Raises UsageError where there are more hits than cases.
    Source: E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209; corrected: R. G. Newcombe, Stat. Med.
    17 (1998) 857, method 4.

    >>> [round(float(end), 4) for end in wilson(81, 263)]
    [0.2553, 0.3662]
    """
    hit, total = _counts(hits, totals)
    share, square = hit / total, z * z
    middle = 2 * total * share + square
    if is_corrected:
        low_root = square - 2 - 1 / total + 4 * share * (total * (1 - share) + 1)
        high_root = square + 2 - 1 / total + 4 * share * (total * (1 - share) - 1)
        low = (middle - 1 - z * np.sqrt(low_root)) / (2 * (total + square))
        high = (middle + 1 + z * np.sqrt(np.maximum(high_root, 0))) / (2 * (total + square))
    else:
        half = z * np.sqrt(square + 4 * total * share * (1 - share))
        low = (middle - half) / (2 * (total + square))
        high = (middle + half) / (2 * (total + square))
    return (
        np.asarray(np.where(hit == 0, 0.0 * share, np.maximum(low, 0.0))),
        np.asarray(np.where(hit == total, 0.0 * share + 1.0, np.minimum(high, 1.0))),
    )


def clopper_pearson(
    hits: Numbers, totals: Numbers, miss_share: float = 0.05
) -> tuple[Array, Array]:
    """Return the ends [1] of the interval that never covers less than 1 − `miss_share`.

    Takes counts, broadcastable. Wider than Wilson's: use it where a promise must hold for every
    share. NaN without a total. Raises UsageError where there are more hits than cases.
    Source: C. J. Clopper, E. S. Pearson, Biometrika 26 (1934) 404.

    >>> [round(float(end), 4) for end in clopper_pearson(1, 29)]
    [0.0009, 0.1776]
    """
    hit, total = _counts(hits, totals)
    miss = total - hit
    low = betaincinv(np.maximum(hit, 1), miss + 1, miss_share / 2)
    high = betaincinv(hit + 1, np.maximum(miss, 1), 1 - miss_share / 2)
    known = 0.0 * total
    return (
        np.asarray(np.where(hit == 0, known, low)),
        np.asarray(np.where(miss == 0, known + 1.0, high)),
    )


def difference(
    hits: Numbers, totals: Numbers, other_hits: Numbers, other_totals: Numbers, z: float = Z95
) -> tuple[Array, Array, Array]:
    """Return the difference of two shares, the first minus the other, and its ends [1].

    Takes counts of both, broadcastable, and the width in standard errors [1]. From two Wilson
    intervals; the two groups must share no cases. NaN where one has no total.
    Source: R. G. Newcombe, Stat. Med. 17 (1998) 873, method 10.

    >>> [round(float(one), 4) for one in difference(56, 70, 48, 80)]
    [0.2, 0.0524, 0.3339]
    """
    hit, total = _counts(hits, totals)
    other_hit, other_total = _counts(other_hits, other_totals)
    share, other = hit / total, other_hit / other_total
    (low, high), (other_low, other_high) = (
        wilson(hit, total, z),
        wilson(other_hit, other_total, z),
    )
    change = share - other
    return (
        np.asarray(change),
        np.asarray(change - np.hypot(share - low, other_high - other)),
        np.asarray(change + np.hypot(high - share, other - other_low)),
    )


def _counts(hits: Numbers, totals: Numbers) -> tuple[Array, Array]:
    hit, total = np.broadcast_arrays(numbers(hits), numbers(totals))
    if np.any((hit < 0) | (hit > total)):
        raise UsageError("A share needs 0 to all of its cases as hits.")
    return np.asarray(hit), np.where(total > 0, total, np.nan)
