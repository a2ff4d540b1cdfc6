"""Many readings judged at once: adjusted p-values, share of true nulls, local false discovery."""

from __future__ import annotations

import numpy as np

from analytics.errors import NotConvergedError, NotEnoughDataError, UsageError
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


def q_values(p_value: Numbers, share_null: float | None = None) -> Array:
    """Return q-values: flagging those up to q holds the expected false share [1] at q.

    Takes p-values, shape (n,), NaN left out, and the share of nulls [1], by default that of
    `null_share`. Less strict than `benjamini_hochberg` by that share.
    Formula: π0 · adjusted p. Raises as `null_share`, and UsageError for a share outside 0 to 1.
    Source: J. D. Storey, Annals of Statistics 31 (2003) 2013.

    >>> q_values([0.01, 0.02, 0.4, 0.6]).round(3).tolist()
    [0.02, 0.02, 0.267, 0.3]
    """
    share = null_share(p_value) if share_null is None else share_null
    if not 0 <= share <= 1:
        raise UsageError("A share of nulls lies between 0 and 1.")
    return share * benjamini_hochberg(p_value)


def local_false_shares(
    score: Numbers, share_null: float = 1.0, *, bins: int = 30, degree: int = 7
) -> Array:
    """Return each score's chance [1] of being one of the null group, standard normal when healthy.

    Takes z-scores, shape (n,), NaN stays NaN, and the share of nulls [1]; 1 is the cautious one.
    The density of all scores is a log-polynomial through their histogram: hundreds are needed, the
    ends are rough, and where the groups meet it is off by up to an eighth. Raises
    NotEnoughDataError with fewer scores than 10 a term or all alike.
    Formula: π0 φ(z) / f(z), at most 1. Source: B. Efron, Large-Scale Inference (2010), ch. 5, with
    the density by J. K. Lindsey, J. R. Stat. Soc. B 36 (1974) 38.

    >>> z = np.concatenate([np.linspace(-2.5, 2.5, 900), np.linspace(3.5, 5.5, 100)])
    >>> local_false_shares(z)[[0, 450, 950]].round(1).tolist()
    [0.1, 1.0, 0.0]
    """
    z = numbers(score)
    known = z[~np.isnan(z)]
    if len(known) < 10 * (degree + 1) or np.ptp(known) == 0:
        raise NotEnoughDataError(f"{len(known)} scores do not show their density.")
    counts, edges = np.histogram(known, bins)
    middle, half = (edges[0] + edges[-1]) / 2, (edges[-1] - edges[0]) / 2

    def basis(at: Array) -> Array:
        return np.asarray(np.polynomial.legendre.legvander((at - middle) / half, degree))

    terms = _log_polynomial(basis((edges[1:] + edges[:-1]) / 2), counts.astype(np.float64))
    density = np.exp(basis(z) @ terms) / (len(known) * (edges[1] - edges[0]))
    null = np.exp(-(z**2) / 2) / np.sqrt(2 * np.pi)
    return np.asarray(np.minimum(share_null * null / density, 1.0))


def _log_polynomial(basis: Array, counts: Array) -> Array:
    """Return the coefficients of a Poisson regression, by iterated weighting."""
    fitted: Array = counts + 0.1
    terms = np.zeros(basis.shape[1])
    for _ in range(100):
        worked = np.log(fitted) + (counts - fitted) / fitted
        root = np.sqrt(fitted)
        new = np.asarray(np.linalg.lstsq(basis * root[:, None], worked * root, rcond=None)[0])
        moved = float(np.max(np.abs(new - terms)))
        terms, fitted = new, np.exp(np.minimum(basis @ new, 700.0))
        if moved < 1e-10:
            return np.asarray(terms)
    raise NotConvergedError("The density of the scores did not settle.", "Give more scores.")


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
