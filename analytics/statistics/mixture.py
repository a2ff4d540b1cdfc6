"""Healthy readings and faults as a mixture: what share of the fleet is how much too hot.

A healthy standardised residual follows a t law; a fault shifts it by (excess heat ratio) ×
(load-driven rise in spreads). The shares of a grid of excess ratios are learned by EM.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from analytics.statistics.figures import RATIO_STEP
from analytics.statistics.figures import TEMPER as TEMPER

Array = NDArray[np.float64]

RATIOS: Array = np.asarray(0.05 * RATIO_STEP ** np.arange(27.0), dtype=np.float64)
"""Excess heat ratios from 0.05 to 46 [1]: a bad terminal may show little of itself on the face."""
FREEDOMS = (3.0, 4.0, 5.0, 7.0, 10.0, 20.0, 50.0)
"""Degrees of freedom tried [1]; chosen: from heavy tails to as good as normal."""
PRIOR_FREEDOM, PRIOR_FREEDOM_LOG_SD = 7.0, 0.7
"""Middle and spread of the prior of the degrees of freedom [1]; chosen: a heavier tail
than the normal."""
PRIOR_MIDDLE = 0.7
"""Median excess ratio on the face before data speak [1]; chosen: a fault that triples the heat of
its terminal, and shows a third of it on the face."""
PRIOR_LOG_SD = 1.0
"""Log spread of the excess ratio before data speak [1]; chosen: a factor of e either way."""
LOG_SDS = (0.9, 1.4)
"""Bounds of the spread of log ratios that is learned [1]; chosen."""
LEG_MIDDLE, LEG_LOG_SD = 1.0, 0.6
"""Median excess ratio of a device whose other leg carries more, and its log spread [1]; chosen: a
leg with 1.4 times the clamped one's load, which doubles its heat."""
LEG_LOG_SDS = (0.4, 0.9)
"""Bounds of that spread as it is learned [1]; chosen."""
PRIOR_LEGS = 6.0
"""Pseudo-count of such devices beside PRIOR_HEALTHY others [1]; chosen as faults are."""
PRIOR_FAULTS = 6.0
PRIOR_HEALTHY = 300.0
"""Pseudo-counts of the prior: 2 % of devices faulty; chosen from trade reports, from memory."""


@dataclass(frozen=True)
class Mixture:
    """The fitted mixture: `odds_weights` are share(ratio) / share(healthy), shape (27,)."""

    fault_share: float
    freedom: float
    idle_freedom: float
    ratio_shares: Array
    log_likelihood: float

    @property
    def odds_weights(self) -> Array:
        """Prior odds of each excess ratio against healthy [1]."""
        return self.ratio_shares * self.fault_share / (1.0 - self.fault_share)


def log_normal_shares(middle: float, log_sd: float) -> Array:
    """Return log-normal shares over the grid of ratios; they sum to 1."""
    z = (np.log(RATIOS) - np.log(middle)) / log_sd
    density = np.exp(-0.5 * z**2)
    shares: Array = density / density.sum()
    return shares


def t_density(z: Array, freedom: float) -> Array:
    """Return Student's density with unit interquartile-matched scale at `z` [1].

    The scale is chosen so that the quartiles are the standard normal's, since residuals are
    standardised by their quartiles.
    """
    from scipy.stats import t

    scale = quartile_scale(freedom)
    density: Array = t.pdf(z / scale, freedom) / scale
    return density


def quartile_scale(freedom: float) -> float:
    """Return the scale that gives a t law the standard normal's quartiles [1]."""
    from scipy.stats import norm, t

    return float(norm.ppf(0.75) / t.ppf(0.75, freedom))


@dataclass(frozen=True)
class Bins:
    """Binned residuals: centres z [1] and load-driven rise load_size [1], readings; (k,) each."""

    z: Array
    load_size: Array
    count: Array

    def upper(self) -> Bins:
        """Return the bins whose residual is not negative: only there do faults show."""
        keep = self.z >= 0.0
        return Bins(self.z[keep], self.load_size[keep], self.count[keep])


def fit(working: Bins, idle: Bins, *, faults: Mixture | None = None, passes: int = 300) -> Mixture:
    """Learn fault share, ratio shares and tail weights from binned residuals.

    Arguments: bins of readings with a working load, which teach the shares, and of the others,
    whose tails are their own: with little load a warm device is a question of its class, not of
    its current. `faults`, the mixture of devices of one pole, for devices of several: they are
    taken to be as often and as badly faulty, and the rest of their excess is laid to a leg that
    carries more than the clamped one, with a share and a law of its own. Returns the Mixture of
    the best degrees of freedom by penalised likelihood, judged by the upper half. Source: EM,
    Dempster, Laird & Rubin 1977. With few readings the prior stands.
    """
    found = [_em(working, freedom, faults, passes) for freedom in FREEDOMS]
    best = max(found, key=lambda m: m.log_likelihood)
    upper = idle.upper()
    tails = [_log_likelihood(upper, f, best.fault_share, best.ratio_shares) for f in FREEDOMS]
    return replace(best, idle_freedom=FREEDOMS[int(np.argmax(tails))])


def _em(bins: Bins, freedom: float, faults: Mixture | None, passes: int) -> Mixture:
    """EM over the upper half; readings below the middle count as healthy."""
    upper = bins.upper()
    healthy, shifted = _densities(upper, freedom)
    known = np.zeros_like(RATIOS) if faults is None else faults.fault_share * faults.ratio_shares
    prior, count, bounds = _prior(faults)
    shares, own = prior.copy(), count / (count + PRIOR_HEALTHY)
    total = bins.count.sum() + count + PRIOR_HEALTHY
    for _ in range(passes):
        parts = own * shares[None, :] * shifted
        rest = (1.0 - own - known.sum()) * healthy + shifted @ known
        whole = rest + parts.sum(axis=1)
        expected = (upper.count[:, None] * parts / whole[:, None]).sum(axis=0)
        moved = (expected.sum() + count) / total
        shares = _smoothed(expected, prior, count, bounds)
        if abs(moved - own) < 1e-7:
            break
        own = moved
    excess = known + own * shares
    share = float(excess.sum())
    value = _log_likelihood(upper, freedom, share, excess / share)
    return Mixture(share, freedom, freedom, excess / share, value)


def _prior(faults: Mixture | None) -> tuple[Array, float, tuple[float, float]]:
    """Return the law of what is learned before data speak: shares, pseudo-count, bounds."""
    if faults is None:
        return log_normal_shares(PRIOR_MIDDLE, PRIOR_LOG_SD), PRIOR_FAULTS, LOG_SDS
    return log_normal_shares(LEG_MIDDLE, LEG_LOG_SD), PRIOR_LEGS, LEG_LOG_SDS


def _densities(bins: Bins, freedom: float) -> tuple[Array, Array]:
    shifted = t_density(bins.z[:, None] - RATIOS[None, :] * bins.load_size[:, None], freedom)
    return t_density(bins.z, freedom), shifted


def _log_likelihood(bins: Bins, freedom: float, fault: float, shares: Array) -> float:
    healthy, shifted = _densities(bins, freedom)
    whole = (1.0 - fault) * healthy + fault * (shifted @ shares)
    prior = -0.5 * (np.log(freedom / PRIOR_FREEDOM) / PRIOR_FREEDOM_LOG_SD) ** 2
    return float(bins.count @ np.log(whole) + prior)


def _smoothed(expected: Array, prior: Array, count: float, bounds: tuple[float, float]) -> Array:
    """Return the log-normal shares that fit the expected excesses and the prior's, moments alike.

    What little a small excess shows cannot teach its share by itself; the law's shape does.
    """
    weight = expected + count * prior
    logs = np.log(RATIOS)
    middle = float(weight @ logs / weight.sum())
    log_sd = float(np.sqrt(weight @ (logs - middle) ** 2 / weight.sum()))
    return log_normal_shares(float(np.exp(middle)), float(np.clip(log_sd, *bounds)))
