"""Shares compared like with like: the mix of cases is held by looking within strata only."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from analytics.errors import NotEnoughDataError
from analytics.statistics.proportions import Z95
from analytics.statistics.sourced import Array, Numbers, numbers


@dataclass(frozen=True)
class Change:
    """A difference of shares [1] with the mix held: its 95 % ends, z and two-sided p-value."""

    difference: float
    low: float
    high: float
    odds_ratio: float
    z: float
    p_value: float


def mantel_haenszel(
    hits: Numbers,
    totals: Numbers,
    other_hits: Numbers,
    other_totals: Numbers,
    dispersion: float = 1.0,
) -> Change:
    """Return the change between two groups over strata, the first minus the other.

    Takes counts of both groups, shape (k,) strata; a stratum that only one group has tells
    nothing. `dispersion` is how many times the binomial variance cases have, since those of one
    panel go together [1]. Raises NotEnoughDataError where no stratum has both groups.
    Source: N. Mantel, W. Haenszel, J. Natl. Cancer Inst. 22 (1959) 719; difference and its
    variance: T. Sato, Biometrics 45 (1989) 1323. The p-value is that of the Mantel–Haenszel test.

    >>> found = mantel_haenszel([4, 12], [20, 25], [2, 5], [22, 21])
    >>> round(found.difference, 3), round(found.odds_ratio, 2), round(found.p_value, 3)
    (0.178, 2.79, 0.052)
    """
    a, n, b, m = (numbers(one) for one in (hits, totals, other_hits, other_totals))
    both = (n > 0) & (m > 0)
    if not both.any():
        raise NotEnoughDataError("No stratum has cases of both groups.")
    a, n, b, m = a[both], n[both], b[both], m[both]
    whole = n + m
    weight = n * m / whole
    gap = float(np.sum((a * m - b * n) / whole) / weight.sum())
    error = np.sqrt(dispersion * _sato_variance(gap, a, n, b, m) / weight.sum() ** 2)
    z = _test_z(a, n, b, m) / float(np.sqrt(dispersion))
    return Change(
        gap,
        float(max(gap - Z95 * error, -1.0)),
        float(min(gap + Z95 * error, 1.0)),
        _odds_ratio(a, n, b, m),
        z,
        float(2 * ndtr(-abs(z))),
    )


def room(hits: Numbers, totals: Numbers, other_hits: Numbers, other_totals: Numbers) -> float:
    """Return how far the first group's hits could lie from those expected, on the nearer side [1].

    Arguments as in `mantel_haenszel`. The normal law of its test holds from about 5 on.
    Source: N. Mantel, J. L. Fleiss, Am. J. Epidemiol. 112 (1980) 129.

    >>> room([4, 12], [20, 25], [2, 5], [22, 21])
    10.903726708074533
    """
    a, n, b, m = (numbers(one) for one in (hits, totals, other_hits, other_totals))
    both = (n > 0) & (m > 0)
    a, n, b, m = a[both], n[both], b[both], m[both]
    expected = float(np.sum(n * (a + b) / (n + m)))
    least, most = np.sum(np.maximum(a + b - m, 0)), np.sum(np.minimum(a + b, n))
    return min(expected - float(least), float(most) - expected)


def _odds_ratio(a: Array, n: Array, b: Array, m: Array) -> float:
    top, bottom = np.sum(a * (m - b) / (n + m)), np.sum(b * (n - a) / (n + m))
    return float(top / bottom) if bottom > 0 else (float("inf") if top > 0 else float("nan"))


def _sato_variance(gap: float, a: Array, n: Array, b: Array, m: Array) -> float:
    whole = n + m
    p = (n**2 * b - m**2 * a + n * m * (m - n) / 2) / whole**2
    q = (a * (m - b) + b * (n - a)) / (2 * whole)
    return max(float(gap * p.sum() + q.sum()), 0.0)


def _test_z(a: Array, n: Array, b: Array, m: Array) -> float:
    whole, hit = n + m, a + b
    room = np.maximum(whole - 1, 1)
    variance = float(np.sum(n * m * hit * (whole - hit) / (whole**2 * room)))
    return float(np.sum(a - n * hit / whole) / np.sqrt(variance)) if variance > 0 else 0.0


def trend(hits: Numbers, totals: Numbers, scores: Numbers, dispersion: float = 1.0) -> Change:
    """Return the change of a share per unit of score, and the test of no trend, strata held.

    Takes counts, shape (k, q) strata by times, and scores, shape (q,), such as the quarter's
    number. One stratum is the Cochran–Armitage test. `dispersion` as in `mantel_haenszel`; the
    odds ratio is per unit of score, to first order. Raises NotEnoughDataError where no stratum has
    cases at two times with hits and misses.
    Source: N. Mantel, J. Am. Stat. Assoc. 58 (1963) 690; P. Armitage, Biometrics 11 (1955) 375.

    >>> found = trend([[5, 8, 14]], [[50, 50, 50]], [0, 1, 2])
    >>> round(found.difference, 3), round(found.z, 2)
    (0.09, 2.33)
    """
    hit, total, score = (
        np.atleast_2d(numbers(hits)),
        np.atleast_2d(numbers(totals)),
        numbers(scores),
    )
    size = total.sum(axis=1)
    keep = size > 1
    hit, total, size = hit[keep], total[keep], size[keep]
    share = hit.sum(axis=1) / size
    middle = total @ score / size
    square = total @ score**2 - size * middle**2
    covariance = float(np.sum(hit @ score - share * (total @ score)))
    variance = float(np.sum(share * (1 - share) * square * size / (size - 1)))
    if not variance > 0:
        raise NotEnoughDataError("No stratum has hits and misses at two times.")
    room = float(square.sum())
    slope, error = covariance / room, float(np.sqrt(dispersion * variance)) / room
    z = covariance / np.sqrt(dispersion * variance)
    return Change(
        slope,
        slope - Z95 * error,
        slope + Z95 * error,
        float(np.exp(covariance / variance)),
        float(z),
        float(2 * ndtr(-abs(z))),
    )
