"""Means of subjects followed over the quarters: each against its own past, and beside the others.

A subject never takes part in what it is compared with. What all subjects share in a quarter, a cold
winter or a new baseline, is taken off by the others' change.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtr

from analytics.statistics.charts import cusum, ewma, ewma_sd

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]

AVERAGE_WEIGHT = 0.3
"""Weight of the newest quarter in the moving average [1]; chosen: it remembers about a year."""
SLACK, DECISION = 0.5, 4.0
"""Slack and limit of the cumulative sums [standard errors]: a change of one is found in 8.4
quarters, a false one comes once in 168 (Montgomery, table 9.3)."""
PULL_IN = 3.0
"""Standard deviations from the middle beyond which one inspection counts no more [1]; chosen."""
PRIOR_LEVELS = 8.0
"""Subject-quarters that the prior of the wander counts for [1]; chosen: two of a small firm."""
MOST_SQUARE = 6.25
"""Square of a change, in variances, beyond which it teaches the wander no more [1]; chosen."""
OFF_CHANCE = 1e-3
"""Chance below which a quarter is left out of what later ones are compared with [1]; chosen."""
LEVEL_SPAN = 4
"""Quarters that a standing difference is taken over [1]; chosen: a year holds all seasons."""
SUDDEN_SHARE = 0.8
"""Share of the false signals that a single quarter may bring, the rest is the moving average's [1];
chosen: what starts at once is to be found at once."""
LEAST_COUNT = 5
"""Inspections a subject needs in a quarter to have a mean of its own [1]; chosen."""
ROUNDS = 12


@dataclass(frozen=True)
class Means:
    """Mean, its variance and the count of inspections, shape (levels, quarters); NaN where few."""

    mean: Array
    variance: Array
    count: NDArray[np.int64]


@dataclass(frozen=True)
class Followed:
    """The charts of one kind of subject, shape (levels, quarters) each.

    `change` and `level` with their standard errors in the unit of the means; `z`, `average`,
    `high`, `low` in standard errors; `chance` is two-sided for the change, `started` the quarter
    from which it is counted; `wander` is the spread of steady subjects from quarter to quarter,
    shape (quarters,). `level_count` inspections stand behind the level, the first of them in the
    quarter at place `level_from`.
    """

    change: Array
    change_error: Array
    level: Array
    level_error: Array
    level_count: NDArray[np.int64]
    level_from: NDArray[np.int64]
    z: Array
    average: Array
    high: Array
    low: Array
    chance: Array
    started: NDArray[np.int64]
    wander: Array


def quarter_means(
    values: Array, level: NDArray[np.int64], quarter: NDArray[np.int64], shape: tuple[int, int]
) -> Means:
    """Return the mean of each level and quarter, single values pulled in towards its median.

    Args: values, level and quarter numbers, shape (n,); shape, levels and quarters.
    """
    cell = level * shape[1] + quarter
    order = np.argsort(cell, kind="stable")
    parts = np.split(order, np.flatnonzero(np.diff(cell[order])) + 1)
    mean, variance = np.full((2, shape[0] * shape[1]), np.nan)
    count = np.bincount(cell, minlength=shape[0] * shape[1])
    usual = _spread(values - _medians(values, parts))
    for part in parts:
        if len(part) >= LEAST_COUNT:
            here = values[part]
            spread = np.sqrt((len(here) * _spread(here) ** 2 + 10 * usual**2) / (len(here) + 10))
            middle = np.median(here)
            held = np.clip(here, middle - PULL_IN * spread, middle + PULL_IN * spread)
            mean[cell[part[0]]] = held.mean()
            variance[cell[part[0]]] = max(spread**2, held.var()) / len(held)
    return Means(mean.reshape(shape), variance.reshape(shape), count.reshape(shape))


def _medians(values: Array, parts: list[NDArray[np.int64]]) -> Array:
    middle = np.empty_like(values)
    for part in parts:
        middle[part] = np.median(values[part])
    return middle


def _spread(values: Array) -> float:
    return float(1.4826 * np.median(np.abs(values - np.median(values))))


def follow(
    means: Means, wander: float, trifle: float = 0.0, numbers: Sequence[int] = ()
) -> Followed:
    """Return the charts of all subjects, each quarter judged by what was known up to it.

    Args: means; wander, the prior spread of a steady subject from quarter to quarter; trifle, the
    change that matters to nobody, all in their unit; numbers of the quarters, which follow each
    other where none are given. The chance is of a trifle showing as much.
    """
    shape = means.mean.shape
    change, error, z, beyond, chance = np.full((5, *shape), np.nan)
    is_off, wanders = np.zeros(shape, bool), np.full(shape[1], np.nan)
    average = np.full(shape, np.nan)
    for q in range(shape[1]):
        steady = _wander(change[:, :q], error[:, :q], is_off[:, :q], wanders[:q], wander)
        freedom = PRIOR_LEVELS + int(np.sum(np.isfinite(z[:, :q]) & ~is_off[:, :q]))
        change[:, q], error[:, q] = _changes(means, is_off, q, steady**2)
        spread = np.hypot(error[:, q], steady)
        z[:, q] = change[:, q] / spread
        beyond[:, q] = np.sign(z[:, q]) * np.maximum(np.abs(z[:, q]) - trifle / spread, 0.0)
        average[:, q] = _averages(z[:, : q + 1], is_off[:, :q])
        slowly = _averages(beyond[:, : q + 1], is_off[:, :q])
        sudden = 2 * stdtr(freedom, -np.abs(beyond[:, q])) / SUDDEN_SHARE
        slow = 2 * stdtr(freedom, -np.abs(slowly)) / (1 - SUDDEN_SHARE)
        chance[:, q] = np.minimum(1.0, np.minimum(sudden, slow))
        is_off[:, q] = np.nan_to_num(chance[:, q], nan=1.0) < OFF_CHANCE
        wanders[q] = steady
    charts = [cusum(row, 0.0, SLACK, DECISION) for row in z]
    late = _years(np.array(numbers or range(shape[1])))
    level, level_error = _levels(means, wanders, late)
    level_count, level_from = _behind(means, late)
    return Followed(
        change=change,
        change_error=error,
        level=level,
        level_error=level_error,
        level_count=level_count,
        level_from=level_from,
        z=z,
        average=average,
        high=np.array([chart.high for chart in charts]).reshape(shape),
        low=np.array([chart.low for chart in charts]).reshape(shape),
        chance=chance,
        started=_starts(is_off),
        wander=wanders,
    )


def _starts(is_off: Bools) -> NDArray[np.int64]:
    """Return for each quarter the first of the quarters in a row that were off, itself included."""
    started = np.tile(np.arange(is_off.shape[1]), (is_off.shape[0], 1))
    for q in range(1, is_off.shape[1]):
        goes_on = is_off[:, q] & is_off[:, q - 1]
        started[:, q] = np.where(goes_on, started[:, q - 1], q)
    return started


def _wander(change: Array, error: Array, is_off: Bools, then: Array, prior: float) -> float:
    """Return the spread of steady subjects beyond their means' errors; moments, with the prior.

    A change is that of a quarter and of the past's mean, whose error holds the spread as it was
    taken `then`. Far-off changes are pulled in: they may be what is looked for.
    """
    known = np.isfinite(change) & ~is_off
    past = np.maximum(np.cumsum(known, axis=1) - known, 1)
    variance = np.where(known, error, 0.0) ** 2
    square = np.minimum(np.where(known, change, 0.0) ** 2, MOST_SQUARE * (variance + prior**2))
    weight = np.where(known, (variance + prior**2) ** -2.0, 0.0)
    usual = float(weight.sum() / known.sum()) if known.any() else 1.0
    excess = np.sum(weight * (square - variance + then**2 / past))
    whole = float(np.sum(weight * (1 + 1 / past))) + PRIOR_LEVELS * usual
    found = (float(excess) + PRIOR_LEVELS * usual * prior**2) / whole
    return float(np.sqrt(max(found, (prior / 4) ** 2)))


def _changes(means: Means, is_off: Bools, q: int, steady2: float) -> tuple[Array, Array]:
    """Return each subject's change in quarter q against its own past, and its standard error.

    The strongest is taken out of what the others are compared with until none stands out.
    """
    own, own_variance = _own_past(means, is_off[:, :q], q, steady2)
    gap = means.mean[:, q] - own
    spread = means.variance[:, q] + steady2 + own_variance
    weight = np.where(np.isfinite(gap), 1 / np.where(np.isfinite(spread), spread, 1.0), 0.0)
    counted = weight.copy()
    for _ in range(len(gap)):
        shared, shared_variance = _others(np.nan_to_num(gap), counted)
        change = gap - shared
        z = np.abs(change) / np.sqrt(spread + shared_variance)
        z = np.where(counted > 0, np.nan_to_num(z), 0.0)
        worst = int(np.argmax(z))
        if z[worst] < 3.5 or np.sum(counted > 0) < 3:
            break
        counted[worst] = 0.0
    error = np.sqrt(means.variance[:, q] + own_variance + shared_variance)
    return change, error


def _others(values: Array, weight: Array) -> tuple[Array, Array]:
    """Return the weighted mean of the others for each, and its variance; 0 and 0 without any.

    Args: values and weights, shape (levels,) or (levels, quarters).
    """
    rest = np.maximum(weight.sum(axis=0) - weight, 0.0)
    top = (weight * values).sum(axis=0) - weight * values
    has_any = rest > 1e-12
    some = np.where(has_any, rest, 1.0)
    return np.where(has_any, top / some, 0.0), np.where(has_any, 1 / some, 0.0)


def _own_past(means: Means, is_off: Bools, q: int, steady2: float) -> tuple[Array, Array]:
    """Return each subject's level before quarter q, what is shared in a quarter taken off."""
    mean, variance = means.mean[:, :q], means.variance[:, :q] + steady2
    weight = np.where(np.isfinite(mean) & ~is_off, 1 / variance, 0.0)
    weight = np.nan_to_num(weight)
    value = np.nan_to_num(mean)
    whole = weight.sum(axis=1)
    level = np.where(whole > 0, (weight * value).sum(1) / np.where(whole > 0, whole, 1), 0.0)
    for _ in range(ROUNDS):
        shared = _others(value - level[:, None], weight)[0]
        free = (weight * (value - shared)).sum(1)
        level = np.where(whole > 0, free / np.where(whole > 0, whole, 1), 0.0)
    known = whole > 0
    return (
        np.where(known, level, np.nan),
        np.where(known, 1 / np.where(known, whole, 1), np.nan),
    )


def _averages(z: Array, is_off: Bools) -> Array:
    """Return the moving average of each subject's z in its own standard deviations."""
    found = np.full(len(z), np.nan)
    for i, row in enumerate(z):
        kept = row[np.append(~is_off[i], True) & np.isfinite(row)]
        if len(kept) and np.isfinite(row[-1]):
            last = ewma(kept, AVERAGE_WEIGHT)[-1]
            found[i] = last / ewma_sd(len(kept), AVERAGE_WEIGHT)[-1]
    return found


def _years(numbers: NDArray[np.int64]) -> list[slice]:
    """Return for each quarter the places of the year up to it; a gap in the calendar counts."""
    first = np.searchsorted(numbers, numbers - LEVEL_SPAN + 1)
    return [slice(int(start), q + 1) for q, start in enumerate(first)]


def _behind(means: Means, late: list[slice]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return how many inspections of a year have a mean, and the place of their first quarter."""
    known = np.isfinite(means.mean)
    counted = np.where(known, means.count, 0)
    count = np.stack([counted[:, year].sum(axis=1) for year in late], axis=1)
    first = np.stack([known[:, year].argmax(axis=1) + year.start for year in late], axis=1)
    return count, first


def _levels(means: Means, wanders: Array, years: list[slice]) -> tuple[Array, Array]:
    """Return each subject's mean over a year less the others' median, and its standard error."""
    shape = means.mean.shape
    level, error = np.full((2, *shape), np.nan)
    for q in range(shape[1]):
        late = years[q]
        weight = np.nan_to_num(1 / (means.variance[:, late] + wanders[q] ** 2))
        whole = weight.sum(axis=1)
        known = np.isfinite(means.mean[:, q]) & (whole > 0)
        some = np.where(whole > 0, whole, 1.0)
        middle = (weight * np.nan_to_num(means.mean[:, late])).sum(1) / some
        for i in np.flatnonzero(known):
            others = known & (np.arange(shape[0]) != i)
            if others.any():
                level[i, q] = middle[i] - np.median(middle[others])
                shared = np.mean(1 / whole[others]) / others.sum()
                error[i, q] = np.sqrt(1 / whole[i] + shared)
    return level, error
