"""What the order of a few numbers says of their median, whatever law they follow."""

from __future__ import annotations

import math
from collections.abc import Sequence

LEAST_CASES = 6
"""Numbers from which the least and the greatest hold the median with 95 % [1]: 1 − 2 / 2⁶."""


def median(values: Sequence[float]) -> float:
    """Return the median of one number or more, in any order.

    >>> median([3, 1, 2, 10])
    2.5
    """
    ordered = sorted(values)
    half = len(ordered) // 2
    return (ordered[half] + ordered[~half]) / 2


def median_interval(values: Sequence[float]) -> tuple[float, float] | None:
    """Return the ends that hold the median of the law with 95 % or more; None for too few numbers.

    They are two of the numbers, as many places from either end as the binomial law of signs allows.
    Source: G. J. Hahn, W. Q. Meeker, Statistical Intervals (1991), section 5.2 (from memory).

    >>> median_interval(range(1, 11)), median_interval([1, 2, 3, 4, 5])
    ((2, 9), None)
    """
    ordered, number = sorted(values), len(values)
    if number < LEAST_CASES:
        return None
    tail, place = 0.0, 0
    while tail + math.comb(number, place) / 2**number <= 0.025:
        tail += math.comb(number, place) / 2**number
        place += 1
    return ordered[place - 1], ordered[-place]
