"""Groups of unequal size beside each other: limits that narrow with size, and overdispersion.

Groups differ for reasons that nobody measured. The variance between them widens the limits, so that
a large group is not set apart for what all of them do a little.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.special import betainc, gammaincc

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics.sourced import Array, Numbers, numbers

Trim = Literal["truncate", "winsorise"]
TRIM_SHARE = 0.1
"""Share of z-values at each end that is cut or pulled in before the variance is learned [1]:
D. J. Spiegelhalter, Stat. Med. 24 (2005) 1185."""
HALVINGS = 40
"""Halvings of the span that holds a limit [1]; chosen: what is left is a rounding of it."""


def exact_limit(share: float, totals: Numbers, probability: float) -> Array:
    """Return the share [1] below which a group of each size falls with that probability [1].

    Takes the share of all groups [1], the groups' totals, any shape, and the probability, such as
    0.975. Exact binomial, interpolated between whole counts so that the limits are smooth in size.
    Raises UsageError outside 0 to 1. Formula: (r − (F(r) − p)/(F(r) − F(r − 1)))/n with r the
    smallest count with F(r) ≥ p. Source: Spiegelhalter 2005, appendix A (from memory).

    >>> exact_limit(0.1, [100, 400], 0.975).round(4).tolist()
    [0.1577, 0.1291]
    """
    from scipy.stats import binom

    if not (0 < share < 1 and 0 < probability < 1):
        raise UsageError("Share and probability lie between 0 and 1.")
    total = numbers(totals)
    rank = binom.ppf(probability, total, share)
    at, below = binom.cdf(rank, total, share), binom.cdf(rank - 1, total, share)
    return np.asarray(np.clip((rank - (at - probability) / (at - below)) / total, 0.0, 1.0))


@dataclass(frozen=True)
class Dispersion:
    """How far groups differ beyond chance: `phi` [1] mean square of z, `variance` between them."""

    phi: float
    variance: float
    kept: int


def dispersion(
    z: Numbers, error: Numbers, trim: Trim = "winsorise", trim_share: float = TRIM_SHARE
) -> Dispersion:
    """Return the overdispersion of groups by the method of moments.

    Takes z-values, shape (n,), and the standard errors they were divided by. The ends are cut
    (“truncate”, as for England's hospital mortality indicator) or pulled in (“winsorise”), so that
    a few true outliers do not excuse themselves; the two differ, say which. Cut is the whole
    number of groups within `trim_share` of each end. The variance is in the square of the errors'
    unit, 0 where chance explains all. Raises NotEnoughDataError below two.
    Source: Spiegelhalter 2005; R. DerSimonian, N. Laird, Control. Clin. Trials 7 (1986) 177.

    >>> found = dispersion([-2.0, 1.5, 0.3, 2.5], [0.1, 0.1, 0.2, 0.2], trim_share=0.0)
    >>> round(found.phi, 3), round(found.variance, 4)
    (3.147, 0.0581)
    """
    values, errors = numbers(z), numbers(error)
    if len(values) < 2:
        raise NotEnoughDataError("Overdispersion needs two groups or more.")
    if trim == "truncate":
        cut = int(trim_share * len(values) + 1e-9)
        order = np.argsort(values, kind="stable")[cut : len(values) - cut]
        values, errors = values[order], errors[order]
    else:
        values = np.clip(values, *np.quantile(values, [trim_share, 1 - trim_share]))
    count, weight = len(values), errors**-2.0
    if count < 2:
        raise NotEnoughDataError("Truncation left fewer than two groups.")
    excess = float(np.sum(values**2)) - (count - 1)
    spread = float(weight.sum() - (weight**2).sum() / weight.sum())
    return Dispersion(float(np.mean(values**2)), max(excess / spread, 0.0), count)


@dataclass(frozen=True)
class Funnel:
    """Observed against expected counts: z-values without and with overdispersion, shape (n,)."""

    ratio: Array
    error: Array
    plain_z: Array
    adjusted_z: Array
    dispersion: Dispersion

    def limits(self, z: float) -> tuple[Array, Array]:
        """Return the ratios [1] that groups of each size stay between at z standard errors."""
        half = z * np.sqrt(self.error**2 + self.dispersion.variance)
        return np.exp(-half), np.exp(half)


def ratio_funnel(observed: Numbers, expected: Numbers, trim: Trim = "truncate") -> Funnel:
    """Return the funnel of observed over expected counts on the logarithmic scale.

    Takes counts and what was expected, shape (n,). Rough below five expected, see `tail_chance`.
    A group with no case has z-values of minus infinity and takes no part in the overdispersion.
    Formula: z = ln(o/e) √e. Source: NHS Digital, Summary Hospital-level Mortality Indicator, as in
    the R package FunnelPlotR.

    >>> ratio_funnel([100, 150, 180], [108, 112, 165]).plain_z.round(2).tolist()
    [-0.8, 3.09, 1.12]
    """
    hit, usual = numbers(observed), numbers(expected)
    error = 1 / np.sqrt(usual)
    with np.errstate(divide="ignore"):
        z = np.log(hit / usual) / error
    known = np.isfinite(z)
    found = dispersion(z[known], error[known], trim)
    adjusted = z * error / np.sqrt(error**2 + found.variance)
    return Funnel(np.asarray(hit / usual), error, z, adjusted, found)


def tail_chance(
    observed: Numbers, expected: Numbers, variance: Numbers = 0.0
) -> tuple[Array, Array]:
    """Return the chance [1] of a count as low, and of one as high, as observed (mid-p).

    Takes counts, what was expected, and the variance [1] of the logarithm of the true rate about
    it: between groups, and of the expectation itself where few cases stand behind it. Exact for
    few cases: Poisson without variance, else gamma–Poisson. Half of the observed count's own
    chance goes to either side. Nothing expected gives ½ and ½ without a case.
    Source: H. O. Lancaster, J. Am. Stat. Assoc. 56 (1961) 223; M. Greenwood, G. U. Yule, J. R.
    Stat. Soc. 83 (1920) 255.

    >>> [round(float(one), 4) for one in tail_chance(9, 2.4)]
    [0.9995, 0.0005]
    """
    hit, usual, spread = np.broadcast_arrays(
        numbers(observed), numbers(expected), numbers(variance)
    )
    usual = np.maximum(usual, 1e-12)
    at, below = _count_cdf(hit, usual, spread), _count_cdf(hit - 1, usual, spread)
    middle = (at + below) / 2
    return np.asarray(middle), np.asarray(1 - middle)


def count_limits(expected: Numbers, variance: Numbers, chance: float) -> tuple[Array, Array]:
    """Return the counts below and above which a tail has the chance [1] given; 0 where none has.

    Takes what was expected and the variance as `tail_chance`, shape (n,), whose tails are followed
    between whole counts so that the limits are smooth in size; found by halving.

    >>> low, high = count_limits([2.4, 100.0], [0.0, 0.04], 0.001)
    >>> low.round(1).tolist(), high.round(1).tolist()
    ([0.0, 43.5], [8.5, 182.1])
    """
    usual, spread = np.broadcast_arrays(numbers(expected), numbers(variance))
    bottom, top = np.zeros_like(usual), usual.copy()
    floor, roof = usual.copy(), 20 * usual * np.exp(5 * np.sqrt(spread)) + 20
    for _ in range(HALVINGS):
        under, over = (bottom + floor) / 2, (top + roof) / 2
        is_rare = tail_chance(under, usual, spread)[0] < chance
        bottom, floor = np.where(is_rare, under, bottom), np.where(is_rare, floor, under)
        is_rare = tail_chance(over, usual, spread)[1] < chance
        top, roof = np.where(is_rare, top, over), np.where(is_rare, over, roof)
    return np.where(bottom < 1e-6, 0.0, bottom), roof


def _count_cdf(count: Array, mean: Array, variance: Array) -> Array:
    """Chance of at most `count`: Poisson where the variance is nil, else negative binomial."""
    some = np.maximum(count, 0.0) + 1.0
    shape = 1.0 / np.where(variance > 0, variance, 1.0)
    mixed = betainc(shape, some, shape / (shape + mean))
    return np.asarray(
        np.where(count < 0, 0.0, np.where(variance > 0, mixed, gammaincc(some, mean)))
    )
