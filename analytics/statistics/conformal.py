"""Ranks that need no model: p-values and limits from calibration scores."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics.sourced import Array, Numbers, numbers

_ROUNDING = 1e-9
"""Slack [1] that keeps (n + 1)(1 − a) from being pushed over a whole number by rounding."""


@dataclass(frozen=True)
class CoverageLaw:
    """The beta distribution of the coverage that one calibration set gives; a and b [1]."""

    a: float
    b: float

    @property
    def mean(self) -> float:
        """Coverage on average over calibration sets [1]."""
        return self.a / (self.a + self.b)

    @property
    def sd(self) -> float:
        """Its standard deviation over calibration sets [1]."""
        total = self.a + self.b
        return float(np.sqrt(self.a * self.b / (total**2 * (total + 1))))

    def quantile(self, share: float) -> float:
        """Coverage below which that share [1] of calibration sets falls."""
        from scipy.special import betaincinv

        return float(betaincinv(self.a, self.b, share))


def p_values(calibration: Numbers, scores: Numbers) -> Array:
    """Return the conformal p-value of each score: (1 + how many are at least as high) / (n + 1).

    Takes calibration scores, shape (n,), and scores of any shape; higher is stranger. Uniform for
    a score exchangeable with the calibration; ties count against it. Not to be trusted where the
    calibration holds other classes, loads or the score itself. A NaN score gives NaN.
    Raises NotEnoughDataError without calibration scores, UsageError where one is NaN.
    Source: V. Vovk, A. Gammerman, G. Shafer, Algorithmic Learning in a Random World (2005).

    >>> p_values([1.0, 2.0, 3.0], [2.0, 9.0]).tolist()
    [0.75, 0.25]
    """
    ordered, values = _ordered(calibration), numbers(scores)
    as_high = len(ordered) - np.searchsorted(ordered, values, side="left")
    return np.asarray(np.where(np.isnan(values), np.nan, (1 + as_high) / (len(ordered) + 1)))


def limit_rank(count: int, miss_share: float) -> int:
    """Return which of `count` calibration scores, in rising order, is the upper limit (from 1).

    `miss_share` [1] is the share allowed above. A rank over `count` means: too few scores, the
    limit is infinite. Formula: ⌈(n + 1)(1 − a)⌉, guarded against rounding.
    Raises UsageError unless the share lies between 0 and 1.

    >>> limit_rank(199, 0.1)
    180
    """
    if not 0 < miss_share < 1:
        raise UsageError("The share allowed above the limit must lie between 0 and 1.")
    return int(np.ceil((count + 1) * (1 - miss_share) - _ROUNDING))


def upper_limit(calibration: Numbers, miss_share: float) -> float:
    """Return the limit that a new score stays under with chance 1 − `miss_share`, at least.

    Takes calibration scores, shape (n,). Infinite with fewer than 1/miss_share − 1 scores.
    Raises as `p_values`. Source: as `p_values`.

    >>> upper_limit(range(1, 20), 0.1)
    18.0
    """
    ordered = _ordered(calibration)
    rank = limit_rank(len(ordered), miss_share)
    return float(ordered[rank - 1]) if rank <= len(ordered) else float("inf")


def coverage_law(count: int, miss_share: float) -> CoverageLaw:
    """Return how the true coverage of an upper limit scatters over calibration sets.

    For continuous, exchangeable scores: Beta(n + 1 − l, l), l = ⌊(n + 1) a⌋.
    Raises NotEnoughDataError where the limit is infinite.
    Source: V. Vovk, Asian Conference on Machine Learning 2012 (from memory).

    >>> round(coverage_law(99, 0.1).sd, 6)
    0.029851
    """
    rank = limit_rank(count, miss_share)
    if rank > count:
        raise NotEnoughDataError(
            f"{count} scores are too few for a limit that {miss_share:g} exceed.",
            f"At least {int(np.ceil(1 / miss_share - 1 - _ROUNDING))} are needed.",
        )
    return CoverageLaw(float(rank), float(count + 1 - rank))


def _ordered(calibration: Numbers) -> npt.NDArray[np.float64]:
    ordered = np.sort(numbers(calibration))
    if not len(ordered):
        raise NotEnoughDataError("There are no calibration scores.")
    if np.isnan(ordered[-1]):
        raise UsageError("A calibration score is missing (NaN).", "Leave such rows out, counted.")
    return ordered
