"""Means where who is measured depends on what is seen: inverse shares and what they cost."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics.sourced import Array, Numbers, numbers


@dataclass(frozen=True)
class WeightedMean:
    """A mean with its standard error [unit of the values] and what its rows are worth [1]."""

    mean: float
    error: float
    rows: int
    effective_rows: float

    @property
    def sentence(self) -> str:
        """The mean in one plain sentence."""
        return (
            f"Weighted mean {self.mean:.2f} (± {1.96 * self.error:.2f}), from {self.rows} readings "
            f"that are worth {self.effective_rows:.0f}."
        )


def effective_size(weights: Numbers) -> float:
    """Return how many equally weighted rows [1] these weights are worth.

    Takes weights, not negative, shape (rows,). Formula: (sum w)² / sum w². 0 without weight. Says
    what uneven weights cost where they have nothing to do with the spread.
    Source: L. Kish, Survey Sampling (1965), 11.7.

    >>> round(effective_size([1, 1, 1, 1])), round(effective_size([4, 1, 1]), 2)
    (4, 2.0)
    """
    weight = _checked(weights)
    square = float(np.sum(weight**2))
    return float(np.sum(weight)) ** 2 / square if square > 0 else 0.0


def inverse_share_weights(share: Numbers, least_share: float = 0.0) -> Array:
    """Return 1 / share, the share held at `least_share` or above so that no row weighs too much.

    Takes the share [1] of readings like this one that were measured, over 0 up to 1. Holding it
    up trades spread for a bias towards the measured. Raises UsageError outside 0 to 1.
    Source: D. G. Horvitz, D. J. Thompson, J. Am. Stat. Assoc. 47 (1952) 663.

    >>> inverse_share_weights([0.5, 0.05], least_share=0.1).tolist()
    [2.0, 10.0]
    """
    measured = np.maximum(numbers(share), least_share)
    if np.any(~(measured > 0) | (measured > 1)):
        raise UsageError("A share measured must be over 0 and at most 1.")
    return np.asarray(1.0 / measured)


def weighted_mean(value: Numbers, weights: Numbers) -> WeightedMean:
    """Return the mean of values whose rows were measured with unequal chances (Hájek's).

    Takes values [any unit] and weights [1], up to a factor, shapes (rows,). Right only where,
    within rows of one weight, those measured are like those that were not. The error is that of
    a ratio, rows independent, weights known. Formula: sum w y / sum w.
    Raises UsageError for shapes that differ and negative or missing weights, NotEnoughDataError
    where no weight is over 0. Source: J. Hájek, in Foundations of Statistical Inference (1971) 236.

    >>> weighted_mean([10.0, 30.0], [4.0, 1.0]).mean
    14.0
    """
    y, weight = numbers(value), _checked(weights)
    if y.shape != weight.shape:
        raise UsageError(f"Values and weights differ in shape: {y.shape} and {weight.shape}.")
    total = float(np.sum(weight))
    if not total > 0:
        raise NotEnoughDataError("No reading has a weight.")
    mean = float(np.sum(weight * y)) / total
    error = float(np.sqrt(np.sum((weight * (y - mean)) ** 2))) / total
    return WeightedMean(mean, error, int(np.sum(weight > 0)), effective_size(weight))


def _checked(weights: Numbers) -> Array:
    weight = numbers(weights)
    if weight.ndim != 1 or not np.all(np.isfinite(weight)) or np.any(weight < 0):
        raise UsageError("Weights must be finite and not negative, one a row.")
    return weight
