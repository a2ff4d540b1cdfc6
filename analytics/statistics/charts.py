"""Control charts over time: shares with their limits, smoothed means, cumulative sums.

A chart tells steady from changed; it does not tell why. How often each cries wolf is in
`run_lengths`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics.sourced import Array, Numbers, numbers

SHEWHART_WIDTH = 3.0
"""Standard errors from the middle of a chart to its limits [1]: W. A. Shewhart (1931)."""


@dataclass(frozen=True)
class ShareChart:
    """Shares over time with the limits that steady ones stay within, shape (n,) each [1]."""

    share: Array
    center: float
    low: Array
    high: Array

    @property
    def is_out(self) -> npt.NDArray[np.bool_]:
        """Where a share lies outside its limits; a point without cases never does."""
        return np.asarray((self.share < self.low) | (self.share > self.high))


def share_chart(
    hits: Numbers,
    totals: Numbers,
    *,
    center: float | None = None,
    width: float = SHEWHART_WIDTH,
    dispersion: float = 1.0,
) -> ShareChart:
    """Return the chart of shares (p-chart) with a total of its own at each point.

    Takes hits and totals, shape (n,); the middle [1], by default the share of all points together;
    the limits' distance [standard errors]; and how many times the binomial variance a point
    has [1]. Normal limits: with fewer than five hits expected they are rough, and the lower one
    is mostly 0. Points without a total give NaN. Raises NotEnoughDataError without any case.
    Source: D. C. Montgomery, Introduction to Statistical Quality Control, ch. 7 (from memory).

    >>> chart = share_chart([12, 8, 20], [100, 80, 110])
    >>> chart.high.round(3).tolist(), bool(chart.is_out.any())
    ([0.241, 0.254, 0.237], False)
    """
    hit, total = numbers(hits), numbers(totals)
    if not total.sum() > 0:
        raise NotEnoughDataError("A chart of shares needs at least one case.")
    middle = float(hit.sum() / total.sum()) if center is None else center
    some = np.where(total > 0, total, np.nan)
    half = width * np.sqrt(dispersion * middle * (1 - middle) / some)
    return ShareChart(
        share=np.asarray(hit / some),
        center=middle,
        low=np.maximum(middle - half, 0.0),
        high=np.minimum(middle + half, 1.0),
    )


def ewma(values: Numbers, weight: float, start: float = 0.0) -> Array:
    """Return the exponentially weighted moving average after each value.

    Takes values, shape (n,), the weight of the newest [1] and the average before the first value,
    unit of the values. A NaN is passed over: the average stays. Raises UsageError for a weight
    outside 0 to 1. Formula: z = λ x + (1 − λ) z. Source: S. W. Roberts, Technometrics 1 (1959) 239.

    >>> ewma([52.0, 47.0, 53.0], 0.3, start=50.0).round(2).tolist()
    [50.6, 49.52, 50.56]
    """
    _check_weight(weight)
    found, level = [], start
    for value in numbers(values):
        level = level if np.isnan(value) else weight * value + (1 - weight) * level
        found.append(level)
    return np.array(found)


def ewma_sd(count: int, weight: float, sd: float = 1.0) -> Array:
    """Return the standard deviation of the moving average after 1 … `count` values.

    Takes the weight [1] and the standard deviation of a single value. Independent values from a
    known start are assumed. Formula: sd √(λ/(2−λ) (1 − (1−λ)^2t)). Source: as `ewma`; NIST/SEMATECH
    e-Handbook 6.3.2.4 uses its limit for large t.

    >>> ewma_sd(3, 0.3, 2.0).round(3).tolist()
    [0.6, 0.732, 0.789]
    """
    _check_weight(weight)
    step = np.arange(1, count + 1)
    return np.asarray(sd * np.sqrt(weight / (2 - weight) * (1 - (1 - weight) ** (2 * step))))


@dataclass(frozen=True)
class CusumChart:
    """Cumulative sums above and below the target, shape (n,), and how long each has run."""

    high: Array
    low: Array
    high_run: npt.NDArray[np.int64]
    low_run: npt.NDArray[np.int64]
    decision: float

    @property
    def is_out(self) -> npt.NDArray[np.bool_]:
        """Where one of the sums lies over the decision limit."""
        return np.asarray((self.high > self.decision) | (self.low > self.decision))

    def onset(self, index: int) -> int:
        """Return where the larger sum at `index` left nil: the likely first point of the change."""
        is_high = self.high[index] >= self.low[index]
        run = self.high_run[index] if is_high else self.low_run[index]
        return int(index - max(run, 1) + 1)


def cusum(values: Numbers, target: float, slack: float, decision: float) -> CusumChart:
    """Return the tabular cumulative sums of values, shape (n,), about a target.

    `slack` is half the change to be found and `decision` the limit, all in the unit of the values.
    A NaN is passed over. Raises UsageError for a negative slack or a limit that is not over 0.
    Formula: C⁺ = max(0, x − target − k + C⁺), C⁻ = max(0, target − k − x + C⁻).
    Source: E. S. Page, Biometrika 41 (1954) 100; NIST/SEMATECH e-Handbook 6.3.2.3.

    >>> cusum([10.9, 9.3, 12.3, 11.5], 10.0, 0.5, 5.0).high.round(2).tolist()
    [0.4, 0.0, 1.8, 2.8]
    """
    if slack < 0 or decision <= 0:
        raise UsageError("A cumulative sum needs a slack of 0 or more and a limit over 0.")
    size = numbers(values).shape[0]
    sums, runs = np.zeros((2, size)), np.zeros((2, size), dtype=np.int64)
    level, run = np.zeros(2), np.zeros(2, dtype=np.int64)
    for i, value in enumerate(numbers(values)):
        if not np.isnan(value):
            step = np.array([value - target, target - value]) - slack
            level = np.maximum(level + step, 0.0)
            run = np.where(level > 0, run + 1, 0)
        sums[:, i], runs[:, i] = level, run
    return CusumChart(sums[0], sums[1], runs[0], runs[1], decision)


def _check_weight(weight: float) -> None:
    if not 0 < weight <= 1:
        raise UsageError("The weight of a moving average lies over 0 and up to 1.")
