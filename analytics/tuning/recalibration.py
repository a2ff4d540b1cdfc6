"""How findings move the stated chances: a straight line on the log odds, tried across panels."""

from __future__ import annotations

import zlib
from dataclasses import dataclass

import numpy as np

from analytics.errors import NotConvergedError, NotEnoughDataError
from analytics.statistics.calibration import logistic
from analytics.statistics.sourced import Array
from analytics.tuning.examined import Examined

PARTS = 10
"""Parts that the panels are dealt into: each is judged by a fit on the others; the usual number."""
DRAWS = 400
"""Draws of the bootstrap by panel; chosen: ends of a 95 % interval then lie on ten draws each."""
PRIOR_FINDINGS = 5.0
"""Findings that the stated chances themselves count for, spread over the log odds; chosen small:
it keeps a fit on few from running away."""
PRIOR_LOGITS = np.arange(-6.5, 7.0)


@dataclass(frozen=True)
class Interval:
    """A number with its 95 % interval."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Scores:
    """Brier's score and the log score [nat] before and after, across panels, and what is gained.

    Smaller is better; a gain is before minus after, with its interval by drawing panels anew.
    """

    brier_before: float
    brier_after: float
    brier_gain: Interval
    log_before: float
    log_after: float
    log_gain: Interval


def fit_line(examined: Examined, weight: Array | None = None) -> tuple[float, float]:
    """Return intercept and slope on the taught log odds, weighed by what each row stands for.

    The stated chances themselves count as a few findings. Raises NotConvergedError and
    NotEnoughDataError as `statistics.calibration.logistic`.
    Source: D. R. Cox, Biometrika 45 (1958) 562: calibration in the large and slope.
    """
    each = examined.weight if weight is None else examined.weight * weight
    scaled = each * (np.sum(each > 0) / np.sum(each))
    logits = np.concatenate([examined.logit, PRIOR_LOGITS])
    outcome = np.concatenate(
        [examined.is_fault.astype(np.float64), _stated(examined, PRIOR_LOGITS)]
    )
    prior = np.full(len(PRIOR_LOGITS), PRIOR_FINDINGS / len(PRIOR_LOGITS))
    design = np.stack([np.ones_like(logits), logits], axis=1)
    fit = logistic(design, outcome, np.concatenate([scaled, prior]))
    return float(fit.coefficients[0]), float(fit.coefficients[1])


def stated_slope(examined: Examined) -> float | None:
    """Return the slope [1] of found on the log odds stated now; 1 is right, None where no fit."""
    try:
        return fit_line(examined)[1] / examined.line[1]
    except (NotConvergedError, NotEnoughDataError):
        return None


def intervals(examined: Examined, seed: int = 1) -> tuple[Interval, Interval]:
    """Return intercept and slope with 95 % intervals, panels drawn anew; a draw that fails is left.

    Raises as `fit_line`.
    """
    value = fit_line(examined)
    rng, draws = np.random.default_rng(seed), []
    for _ in range(DRAWS):
        try:
            draws.append(fit_line(examined, _redrawn(rng, examined)))
        except (NotConvergedError, NotEnoughDataError):
            continue
    low, high = np.quantile(np.array(draws), [0.025, 0.975], axis=0)
    return (
        Interval(value[0], float(low[0]), float(high[0])),
        Interval(value[1], float(low[1]), float(high[1])),
    )


def scores(examined: Examined, seed: int = 1) -> Scores:
    """Return the scores before and after, every panel judged by a fit on the other parts.

    Raises as `fit_line`.
    """
    stated = _stated(examined, examined.logit)
    moved = np.empty_like(stated)
    part = np.array([zlib.crc32(name.encode()) % PARTS for name in examined.panel_names])
    for one in range(PARTS):
        is_out = part[examined.panel] == one
        if is_out.any():
            intercept, slope = fit_line(examined, np.where(is_out, 0.0, 1.0))
            moved[is_out] = _chance(intercept + slope * examined.logit[is_out])
    found = examined.is_fault.astype(np.float64)
    briers = [(chance - found) ** 2 for chance in (stated, moved)]
    logs = [-np.log(np.where(examined.is_fault, c, 1 - c)) for c in (stated, moved)]
    means = [_mean(examined, loss) for loss in (*briers, *logs)]
    return Scores(
        means[0],
        means[1],
        _gain(examined, briers[0] - briers[1], seed),
        means[2],
        means[3],
        _gain(examined, logs[0] - logs[1], seed),
    )


def _gain(examined: Examined, gain: Array, seed: int) -> Interval:
    size = examined.panel_count
    top = np.bincount(examined.panel, examined.weight * gain, size)
    bottom = np.bincount(examined.panel, examined.weight, size)
    rng, draws = np.random.default_rng(seed), []
    for _ in range(DRAWS):
        times = np.bincount(rng.integers(0, size, size), minlength=size)
        draws.append(float(times @ top / (times @ bottom)))
    low, high = np.quantile(draws, [0.025, 0.975])
    return Interval(_mean(examined, gain), float(low), float(high))


def _mean(examined: Examined, values: Array) -> float:
    return float(np.sum(examined.weight * values) / np.sum(examined.weight))


def _redrawn(rng: np.random.Generator, examined: Examined) -> Array:
    size = examined.panel_count
    times = np.bincount(rng.integers(0, size, size), minlength=size)
    return np.asarray(times[examined.panel], np.float64)


def _stated(examined: Examined, logit: Array) -> Array:
    return _chance(examined.line[0] + examined.line[1] * logit)


def _chance(logit: Array) -> Array:
    return np.asarray(1 / (1 + np.exp(-logit)))
