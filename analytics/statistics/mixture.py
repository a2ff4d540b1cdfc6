"""Healthy readings and faults as a mixture: what share of the fleet is how much too hot.

A healthy standardised residual follows a t law; a fault shifts it by (excess heat ratio) ×
(load-driven rise in spreads). The shares of a grid of excess ratios are learned by EM.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

RATIO_STEP = 1.25
"""Step of the grid of excess heat ratios [1]; chosen, finer than any reading can tell."""
RATIOS: Array = np.asarray(0.2 * RATIO_STEP ** np.arange(25.0), dtype=np.float64)
"""Excess heat ratios from 0.2 to 42 [1]."""
FREEDOMS = (3.0, 4.0, 5.0, 7.0, 10.0, 20.0)
PRIOR_MIDDLE = 1.2
"""Median excess ratio assumed before data speak [1]; chosen: a fault that doubles the heat."""
PRIOR_LOG_SD = 1.0
PRIOR_FAULTS = 6.0
PRIOR_HEALTHY = 300.0
"""Pseudo-counts of the prior: 2 % of devices faulty; chosen from trade reports, from memory."""


@dataclass(frozen=True)
class Mixture:
    """The fitted mixture: `odds_weights` are share(ratio) / share(healthy), shape (25,)."""

    fault_share: float
    freedom: float
    ratio_shares: Array
    log_likelihood: float

    @property
    def odds_weights(self) -> Array:
        """Prior odds of each excess ratio against healthy [1]."""
        return self.ratio_shares * self.fault_share / (1.0 - self.fault_share)


def prior_shares() -> Array:
    """Return the log-normal prior over the grid of ratios; sums to 1."""
    z = (np.log(RATIOS) - np.log(PRIOR_MIDDLE)) / PRIOR_LOG_SD
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


def fit(z: Array, load_size: Array, count: Array, *, passes: int = 300) -> Mixture:
    """Learn fault share, ratio shares and tail weight from binned residuals.

    Arguments: z [1], load_size [1] and count, each (k,): bin centres and readings in them.
    Returns the Mixture of the best degrees of freedom by penalised likelihood. Source: EM,
    Dempster, Laird & Rubin 1977. With few readings the prior stands.
    """
    best: Mixture | None = None
    for freedom in FREEDOMS:
        found = _em(z, load_size, count, freedom, passes)
        if best is None or found.log_likelihood > best.log_likelihood:
            best = found
    assert best is not None
    return best


def _em(z: Array, load_size: Array, count: Array, freedom: float, passes: int) -> Mixture:
    healthy = t_density(z, freedom)
    shifted = t_density(z[:, None] - RATIOS[None, :] * load_size[:, None], freedom)
    prior = prior_shares()
    shares, fault = prior.copy(), PRIOR_FAULTS / (PRIOR_FAULTS + PRIOR_HEALTHY)
    total = count.sum() + PRIOR_FAULTS + PRIOR_HEALTHY
    for _ in range(passes):
        parts = fault * shares[None, :] * shifted
        whole = (1.0 - fault) * healthy + parts.sum(axis=1)
        expected = (count[:, None] * parts / whole[:, None]).sum(axis=0)
        moved = (expected.sum() + PRIOR_FAULTS) / total
        shares = expected + PRIOR_FAULTS * 3.0 * prior
        shares = shares / shares.sum()
        if abs(moved - fault) < 1e-7:
            break
        fault = moved
    whole = (1.0 - fault) * healthy + fault * (shifted @ shares)
    return Mixture(float(fault), freedom, shares, float(count @ np.log(whole)))
