"""Stated chances against what was found: Brier's score and its parts, two ways to recalibrate."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analytics.errors import NotConvergedError, NotEnoughDataError, UsageError
from analytics.statistics.sourced import Array, Numbers, numbers

MOST_STEPS = 50
"""Newton steps after which a logistic fit is given up; chosen: sound data need under ten."""
TOLERANCE = 1e-10
"""Largest step, in units of the coefficient's error [1], at which it has settled; chosen."""
LARGEST_LOGIT = 30.0
"""A fitted logit beyond this means that the groups are wholly apart [1]; chosen: chance 1e-13."""


@dataclass(frozen=True)
class BrierParts:
    """Brier's score and its parts [1]: score = reliability − resolution + uncertainty."""

    score: float
    reliability: float
    resolution: float
    uncertainty: float


@dataclass(frozen=True)
class LogisticFit:
    """A logistic regression: coefficients and standard errors, shape (terms,), log likelihood."""

    coefficients: Array
    covariance: Array
    log_likelihood: float
    row_count: int

    @property
    def standard_errors(self) -> Array:
        """Standard errors of the coefficients, shape (terms,)."""
        return np.asarray(np.sqrt(np.diag(self.covariance)))

    def chances(self, design: Numbers) -> Array:
        """Return the fitted chances [1] of rows of shape (n, terms)."""
        return _chance(numbers(design) @ self.coefficients)


def isotonic(values: Numbers, weights: Numbers | None = None) -> Array:
    """Return the rising sequence nearest to `values`, in order of their score, by least squares.

    Takes values, shape (n,), and as many weights above 0. Falling neighbours are pooled.
    Raises UsageError where the shapes differ or a weight is not above 0.
    Source: M. Ayer et al., Ann. Math. Stat. 26 (1955) 641: pooling of adjacent violators.

    >>> isotonic([1, 0, 4, 3, 3, 5, 4, 2, 0]).tolist()
    [0.5, 0.5, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0]
    """
    each = numbers(values)
    weight = np.ones_like(each) if weights is None else numbers(weights)
    if each.shape != weight.shape or each.ndim != 1 or np.any(~(weight > 0)):
        raise UsageError("Every value needs a weight above 0.")
    means: list[float] = []
    totals: list[float] = []
    counts: list[int] = []
    for value, one in zip(each.tolist(), weight.tolist(), strict=True):
        means.append(value)
        totals.append(one)
        counts.append(1)
        while len(means) > 1 and means[-2] >= means[-1]:
            mean, total, count = means.pop(), totals.pop(), counts.pop()
            means[-1] = (means[-1] * totals[-1] + mean * total) / (totals[-1] + total)
            totals[-1] += total
            counts[-1] += count
    return np.repeat(np.array(means, dtype=np.float64), counts)


def brier(chance: Numbers, outcome: Numbers, weights: Numbers | None = None) -> float:
    """Return the mean squared distance of stated chances [1] from outcomes (0 or 1).

    The two-class score of the source is twice this. Takes arrays of shape (n,), weights for rows
    that stand for many. Raises UsageError outside 0 to 1, NotEnoughDataError without rows.
    Source: G. W. Brier, Monthly Weather Review 78 (1950) 1.

    >>> brier([0.7, 0.9, 0.8], [0, 1, 1])
    0.18
    """
    stated, found, weight = _checked(chance, outcome, weights)
    return float(round(float(np.sum(weight * (stated - found) ** 2) / weight.sum()), 15))


def brier_parts(chance: Numbers, outcome: Numbers, weights: Numbers | None = None) -> BrierParts:
    """Return Brier's score and its three parts, rows with the same stated chance taken together.

    Exact where chances repeat; round them first where each is its own. Takes and raises as `brier`.
    Source: A. H. Murphy, J. Appl. Meteorol. 12 (1973) 595.

    >>> brier_parts([0.1, 0.1, 0.9, 0.9], [0, 0, 1, 1]).resolution
    0.25
    """
    stated, found, weight = _checked(chance, outcome, weights)
    levels, where = np.unique(stated, return_inverse=True)
    size = np.bincount(where, weight)
    share = np.bincount(where, weight * found) / size
    total, base = float(weight.sum()), float(np.sum(weight * found) / weight.sum())
    within = float(np.sum(weight * (found - stated) ** 2) / total)
    return BrierParts(
        within,
        float(np.sum(size * (levels - share) ** 2) / total),
        float(np.sum(size * (share - base) ** 2) / total),
        base * (1 - base),
    )


def logistic(design: Numbers, outcome: Numbers, weights: Numbers | None = None) -> LogisticFit:
    """Fit a logistic regression by Newton's steps.

    Takes a design of shape (n, terms), its column of ones included, outcomes between 0 and 1 (a
    share, for rows that stand for many) and weights, shape (n,). Errors are those of a likelihood,
    so not to be trusted for weights that are inverse chances of being drawn.
    Raises NotEnoughDataError where all outcomes are alike or columns depend on each other,
    NotConvergedError where the two groups are wholly apart.
    Source: P. McCullagh, J. A. Nelder, Generalized Linear Models (1989), ch. 4.

    >>> fit = logistic([[1.0], [1.0], [1.0], [1.0]], [0, 0, 0, 1])
    >>> round(float(fit.coefficients[0]), 6)
    -1.098612
    """
    rows = numbers(design)
    _, found, weight = _checked(np.zeros(len(rows)), outcome, weights)
    if not 0 < float(np.sum(weight * found)) < float(weight.sum()):
        raise NotEnoughDataError("All outcomes are alike.", "Faulty and sound ones are needed.")
    if np.linalg.matrix_rank(rows) < rows.shape[1]:
        raise NotEnoughDataError("The columns of the design do not differ enough to be told apart.")
    coefficients, history = np.zeros(rows.shape[1]), []
    for _ in range(MOST_STEPS):
        chance = _chance(rows @ coefficients)
        information = (rows * (weight * chance * (1 - chance))[:, None]).T @ rows
        slope = rows.T @ (weight * (found - chance))
        if np.abs(rows @ coefficients).max() > LARGEST_LOGIT:
            break
        step = np.linalg.lstsq(information, slope, rcond=None)[0]
        coefficients = coefficients + step
        history.append(float(np.abs(step).max()))
        if float(slope @ step) < TOLERANCE**2:
            covariance = numbers(np.linalg.inv(information))
            likelihood = _log_likelihood(rows @ coefficients, found, weight)
            return LogisticFit(coefficients, covariance, likelihood, len(rows))
    raise NotConvergedError(
        "The logistic fit does not settle: the scores tell faulty from sound ones wholly apart.",
        "Use the isotonic steps, or wait for more findings.",
        tuple(history),
    )


def _log_likelihood(logit: Array, found: Array, weight: Array) -> float:
    return float(np.sum(weight * (found * logit - np.logaddexp(0.0, logit))))


def _chance(logit: Array) -> Array:
    return np.asarray(1 / (1 + np.exp(-np.clip(logit, -700, 700))))


def _checked(
    chance: Numbers, outcome: Numbers, weights: Numbers | None
) -> tuple[Array, Array, Array]:
    stated, found = numbers(chance), numbers(outcome)
    weight = np.ones_like(found) if weights is None else numbers(weights)
    if not len(found):
        raise NotEnoughDataError("There are no findings to set the chances against.")
    if not stated.shape == found.shape == weight.shape:
        raise UsageError("Chances, outcomes and weights differ in number.")
    for values in (stated, found):
        if np.any(~((values >= 0) & (values <= 1))):
            raise UsageError("A chance or an outcome lies outside 0 to 1.")
    return stated, found, weight
