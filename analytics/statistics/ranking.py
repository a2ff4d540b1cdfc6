"""How well a score ranks faulty devices above sound ones."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics.proportions import Z95
from analytics.statistics.sourced import Array, Numbers, numbers

Bools = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class RankingArea:
    """Chance [1] that a faulty device ranks above a sound one, ties as half, with its error."""

    value: float
    error: float
    faulty_count: int
    sound_count: int

    @property
    def low(self) -> float:
        """Lower end of the 95 % interval, normal, held at 0."""
        return max(self.value - Z95 * self.error, 0.0)

    @property
    def high(self) -> float:
        """Upper end of the 95 % interval, normal, held at 1."""
        return min(self.value + Z95 * self.error, 1.0)


@dataclass(frozen=True)
class Operating:
    """A line drawn at `threshold` (flagged from there up), with what it catches and spares [1]."""

    threshold: float
    sensitivity: float
    specificity: float


def ranking_area(score: Numbers, is_faulty: npt.ArrayLike) -> RankingArea:
    """Return the area under the ROC curve with DeLong's standard error.

    Takes scores, shape (n,), higher for stronger evidence, and as many truths. Rows with a NaN
    score are left out. The error is nil where the two are wholly apart: do not trust it there.
    Raises NotEnoughDataError unless there are two of each, UsageError where the lengths differ.
    Source: E. R. DeLong, D. M. DeLong, D. L. Clarke-Pearson, Biometrics 44 (1988) 837; by ranks,
    X. Sun, W. Xu, IEEE Signal Process. Lett. 21 (2014) 1389.

    >>> area = ranking_area([1, 2, 3, 4], [False, True, False, True])
    >>> area.value
    0.75
    """
    faulty, sound = _apart(score, is_faulty)
    if min(len(faulty), len(sound)) < 2:
        raise NotEnoughDataError("A ranking needs two faulty and two sound devices at least.")
    m, n = len(faulty), len(sound)
    together = _middle_ranks(np.concatenate([faulty, sound]))
    above_sound = (together[:m] - _middle_ranks(faulty)) / n
    below_faulty = 1 - (together[m:] - _middle_ranks(sound)) / m
    variance = np.var(above_sound, ddof=1) / m + np.var(below_faulty, ddof=1) / n
    return RankingArea(float(above_sound.mean()), float(np.sqrt(variance)), m, n)


def best_line(score: Numbers, is_faulty: npt.ArrayLike) -> Operating:
    """Return the line where sensitivity + specificity is highest; of equals the lowest line.

    Weighs a missed fault as a wasted visit times the odds of being sound: no line for a firm whose
    costs differ. Takes and raises as `ranking_area`. Source: W. J. Youden, Cancer 3 (1950) 32.

    >>> best_line([1, 2, 3, 4], [False, False, True, True])
    Operating(threshold=3.0, sensitivity=1.0, specificity=1.0)
    """
    faulty, sound = _apart(score, is_faulty)
    if not len(faulty) or not len(sound):
        raise NotEnoughDataError("A line needs a faulty and a sound device at least.")
    lines = np.unique(np.concatenate([faulty, sound]))
    caught = 1 - np.searchsorted(np.sort(faulty), lines, side="left") / len(faulty)
    spared = np.searchsorted(np.sort(sound), lines, side="left") / len(sound)
    best = int(np.argmax(caught + spared))
    return Operating(float(lines[best]), float(caught[best]), float(spared[best]))


def _apart(score: Numbers, is_faulty: npt.ArrayLike) -> tuple[Array, Array]:
    values, truth = numbers(score), np.asarray(is_faulty, dtype=np.bool_)
    if values.shape != truth.shape or values.ndim != 1:
        raise UsageError("Scores and truths differ in number.")
    known = ~np.isnan(values)
    return values[known & truth], values[known & ~truth]


def _middle_ranks(values: Array) -> Array:
    """Return ranks from 1, equal values sharing their mean rank."""
    _, where, counts = np.unique(values, return_inverse=True, return_counts=True)
    last = np.cumsum(counts)
    return np.asarray((last - (counts - 1) / 2)[where])
