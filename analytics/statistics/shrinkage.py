"""Shares of small groups, pulled towards the share of all by how little each one knows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq
from scipy.special import betaincinv, betaln, digamma

from analytics.errors import NotEnoughDataError
from analytics.statistics.sourced import Array, Numbers, numbers

MOST_COUNT = 1e6
"""Largest pseudo-count of a prior [1]; chosen: groups that do not differ beyond chance."""

LEAST_COUNT = 1e-2
"""Smallest pseudo-count of a prior [1]; chosen: groups that have all or nothing."""


@dataclass(frozen=True)
class BetaPrior:
    """The beta law of the groups' true shares; `hits` and `misses` count as cases seen before."""

    hits: float
    misses: float

    @property
    def mean(self) -> float:
        """The share of a group that nothing is known of [1]."""
        return self.hits / (self.hits + self.misses)

    def mean_of(self, hits: Numbers, totals: Numbers) -> Array:
        """Return the shrunken share [1] of groups with these counts, any shape."""
        weight = self.hits + self.misses
        return np.asarray((numbers(hits) + self.hits) / (numbers(totals) + weight))

    def interval_of(
        self, hits: Numbers, totals: Numbers, miss_share: float = 0.05
    ) -> tuple[Array, Array]:
        """Return the ends [1] of the interval that holds the true share but for `miss_share`."""
        hit, total = numbers(hits), numbers(totals)
        a, b = hit + self.hits, total - hit + self.misses
        ends = (miss_share / 2, 1 - miss_share / 2)
        return np.asarray(betaincinv(a, b, ends[0])), np.asarray(betaincinv(a, b, ends[1]))


def prior_by_moments(shares: Numbers) -> BetaPrior:
    """Return the beta law with the mean and standard deviation of shares, shape (n,).

    Groups of any size count alike, and their chance scatter counts as a difference between them:
    shrinks too little, good only as a start. Raises NotEnoughDataError where the shares do not
    differ or fewer than two are given.
    Source: A. Gelman et al., Bayesian Data Analysis, 3rd ed., sec. 5.1 (from memory).

    >>> prior = prior_by_moments([0.1, 0.2, 0.15, 0.05])
    >>> round(prior.hits, 2), round(prior.misses, 2)
    (3.16, 22.09)
    """
    values = numbers(shares)
    spread = float(np.var(values, ddof=1)) if len(values) > 1 else 0.0
    mean = float(np.mean(values)) if len(values) else 0.0
    if spread <= 0 or not spread < mean * (1 - mean):
        raise NotEnoughDataError("The groups' shares do not differ enough to learn from.")
    count = mean * (1 - mean) / spread - 1
    return BetaPrior(mean * count, (1 - mean) * count)


def fit_prior(hits: Numbers, totals: Numbers) -> BetaPrior:
    """Return the beta law under which the groups' counts are likeliest.

    Takes hits and totals, shape (n,); groups without a case tell nothing. Where the groups differ
    no more than chance makes them, the law is as narrow as `MOST_COUNT` pseudo-cases. Roots of the
    score equations by bisection and secants: the mean at each count, and the count on that ridge.
    Raises NotEnoughDataError without a hit or a miss.
    Source: J. K. Skellam, J. R. Stat. Soc. B 10 (1948) 257, the beta-binomial law.

    >>> prior = fit_prior([0, 2, 5, 9], [10, 20, 20, 20])
    >>> 0.2 < prior.mean < 0.25
    True
    """
    hit, total = numbers(hits), numbers(totals)
    hit, total = hit[total > 0], total[total > 0]
    share = float(hit.sum() / max(total.sum(), 1.0))
    if not 0 < share < 1:
        raise NotEnoughDataError("A prior of shares needs hits and misses.")
    ends = float(np.log(LEAST_COUNT)), float(np.log(MOST_COUNT))
    if _slope_at_infinity(hit, total, share) <= 0 or _slope(ends[1], hit, total) >= 0:
        return BetaPrior(share * MOST_COUNT, (1 - share) * MOST_COUNT)
    is_wide = _slope(ends[0], hit, total) <= 0
    log_count = ends[0] if is_wide else brentq(_slope, *ends, args=(hit, total), xtol=1e-13)
    count = float(np.exp(log_count))
    mean = _mean_at(count, hit, total)
    return BetaPrior(mean * count, (1 - mean) * count)


def _mean_at(count: float, hit: Array, total: Array) -> float:
    """Return the likeliest mean of a prior of that count: the score falls in the mean."""

    def score(mean: float) -> float:
        a, b = mean * count, (1 - mean) * count
        up, down = digamma(hit + a) - digamma(a), digamma(total - hit + b) - digamma(b)
        return float(np.sum(up - down))

    return float(brentq(score, 1e-12, 1 - 1e-12, xtol=1e-16))


def _slope(log_count: float, hit: Array, total: Array) -> float:
    """Return the slope of the log likelihood along the ridge of likeliest means."""
    count = float(np.exp(log_count))
    mean = _mean_at(count, hit, total)
    a, b = mean * count, (1 - mean) * count
    common = digamma(count) - digamma(total + count)
    of_hits = np.sum(digamma(hit + a) - digamma(a) + common)
    of_misses = np.sum(digamma(total - hit + b) - digamma(b) + common)
    return float(a * of_hits + b * of_misses)


def _slope_at_infinity(hit: Array, total: Array, share: float) -> float:
    """Positive where the groups differ more than the binomial: then the best law has a width."""
    miss = total - hit
    square = hit * (hit - 1) / share + miss * (miss - 1) / (1 - share) - total * (total - 1)
    return float(np.sum(square))


def log_likelihood(prior: BetaPrior, hits: Numbers, totals: Numbers) -> float:
    """Return the log likelihood of counts, shape (n,), but for the binomial coefficients.

    >>> round(log_likelihood(BetaPrior(1.0, 1.0), [1], [2]), 4)
    -1.7918
    """
    hit, total = numbers(hits), numbers(totals)
    whole = betaln(hit + prior.hits, total - hit + prior.misses)
    return float(np.sum(whole - betaln(prior.hits, prior.misses)))


def james_stein(values: Numbers, variance: float) -> tuple[Array, float]:
    """Return values drawn to their mean, and the factor [1] by which they still differ from it.

    Takes values, shape (n,) with n over 3, and the variance of each, their unit squared. The factor
    is cut at 0. Raises NotEnoughDataError below four values.
    Formula: c = 1 − (n − 3) σ² / Σ (x − mean)².
    Source: B. Efron, C. Morris, J. Am. Stat. Assoc. 70 (1975) 311.

    >>> james_stein([0.0, 1.0, 2.0, 3.0], 1.0)[1]
    0.8
    """
    x = numbers(values)
    if len(x) < 4:
        raise NotEnoughDataError("Shrinking to a common mean needs four groups or more.")
    mean = float(np.mean(x))
    square = float(np.sum((x - mean) ** 2))
    factor = max(0.0, 1 - (len(x) - 3) * variance / square) if square > 0 else 0.0
    return np.asarray(mean + factor * (x - mean)), factor


def arcsine_james_stein(hits: Numbers, total: int) -> tuple[Array, float]:
    """Return shrunken shares [1] of groups of one size, on the scale where all vary alike.

    Takes hits, shape (n,), and the size of every group. Formula: x = √N arcsin(2 h/N − 1) has
    variance 1; shrunken and taken back. Source: B. Efron, C. Morris, J. Am. Stat. Assoc. 70 (1975)
    311. Raises NotEnoughDataError below four groups.

    >>> arcsine_james_stein([18, 10, 7, 12], 45)[0].round(3).tolist()
    [0.38, 0.227, 0.168, 0.265]
    """
    share = numbers(hits) / total
    shrunk, factor = james_stein(np.sqrt(total) * np.arcsin(2 * share - 1), 1.0)
    return np.asarray((np.sin(shrunk / np.sqrt(total)) + 1) / 2), factor
