"""The fixed terms of the baseline alone, on any table of loads and rises, however large.

rise = offset + gain · load^exponent, standard deviation² = noise² + (share · load-driven rise)²,
bounded influence, rows weighted: what the fit does for one group, without panels, makes and
cameras. Python owns the loop, `queries/checks/load_pass.sql` the sums. A large table is first
solved on a repeatable sample; the whole then takes a handful of scans, each of which gives the sums
of a Newton step and the exact median size of the residuals in every band of rises.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from analytics.errors import NotConvergedError, NotEnoughDataError
from analytics.statistics import load_steps as steps
from analytics.statistics.robust import TUNING
from analytics.statistics.robust_loop import Store, remaining
from analytics.statistics.sourced import Array

SAMPLE_ROWS = 200_000
"""Rows of the sample a large table starts from [1]; chosen: solved in about one scan's time."""
SAMPLE_SHARE = 0.01
"""Share of the rows that the sample holds at least [1]; chosen: the brackets around the medians of
a larger table must be narrower, or too many rows lie in them."""
START_REACH = 4.0
"""Half-width of a band's bracket after the sample, times the root of its rows [1]; chosen: three
and a half of the median's own errors, 1.17 over that root for normal residuals."""
WIDER = 4.0
"""What a bracket is widened by that does not hold its median [1]; chosen."""
LEAST_REACH_ROWS = 20.0
"""Rows that a bracket should hold on either side, about [1]; chosen."""
WHOLE = 0.9
"""Half-width [1] from which on the bracket is everything; chosen."""
NEWTON_FROM = 0.1
"""Step [1], in standard deviations, from which Newton's slope is used; chosen: before, the bisquare
may still bend the wrong way."""
MOST_PASSES = 100
"""Passes after which the fit is called not converged [1]; chosen."""


@dataclass(frozen=True)
class LoadPass:
    """One pass: over which rows, where it led, and how far [standard deviations of the fit]."""

    rows: str
    offset_k: float
    gain_k: float
    exponent: float
    noise_k: float
    noise_share: float
    step: float


@dataclass(frozen=True)
class LoadLaw:
    """Offset and gain [K], exponent [1], spread [K, 1]; standard errors take rows for independent.

    `rows_left_out` have no load, or a missing number.
    """

    offset_k: float
    gain_k: float
    exponent: float
    noise_k: float
    noise_share: float
    rows_used: int
    rows_left_out: int
    history: tuple[LoadPass, ...]


@dataclass(frozen=True)
class _State:
    """Offset [K], logarithm of gain [K], exponent [1]; spread; each band's middle, reach, rows."""

    theta: Array
    noise_k: float
    noise_share: float
    middles: Array
    reach: Array
    counts: Array
    step: float = math.inf


def fit_load_law(
    store: Store,
    table: str,
    *,
    load: str = "load_fraction",
    rise: str = "rise_k",
    weight: str = "1e0",
    start: tuple[float, float, float] = (0.0, 30.0, 1.64),
    tuning: float = TUNING["tukey"],
    tolerance: float = 1e-6,
) -> LoadLaw:
    """Fit rise = offset + gain · load^exponent with bounded influence of each row.

    Takes an open store (temporary objects are made and dropped in it), `table` (table or view) and
    SQL expressions over its columns: `load` [1], `rise` [K] and `weight` [1], such as the inverse
    of the chance that a row was clamped. `start` is offset [K], gain [K], exponent [1]; `tuning`
    where the bisquare reaches nil [1]; `tolerance` bounds the distance still to go, in standard
    deviations of a row, and of the spread in itself [1]. Rows without load are left out.

    Raises NotEnoughDataError where the rows do not give an exponent, NotConvergedError with the
    passes. Source: Beaton & Tukey, Technometrics 16 (1974) 147; spread as the fit's own.

    >>> from analytics.warehouse import open_store
    >>> with open_store() as store:
    ...     rows = "(select i / 100 as x, 2 + 30 * x * x + i % 3 - 1 as y from range(1, 101) r(i))"
    ...     law = fit_load_law(store, rows, load="x", rise="y")
    >>> round(law.offset_k, 1), round(law.gain_k, 1), round(law.exponent, 2)
    (2.0, 30.0, 2.0)
    """
    source = _design_select(table, load, rise, weight)
    try:
        return _fit(store, source, start, tuning, tolerance)
    finally:
        store.execute("drop view if exists load_design")
        store.execute("drop table if exists temp.load_sample")


def _design_select(table: str, load: str, rise: str, weight: str) -> str:
    """Return the select that gives any table the columns of the queries' design.

    Expressions cannot be parameters; this is the one place where SQL is put together here.
    """
    usable = "isfinite(rise_k) and isfinite(weight) and weight >= 0 and isfinite(load_fraction)"
    return (
        f"select ({rise})::double as rise_k, ({load})::double as load_fraction, "
        f"({weight})::double as weight, "
        f"coalesce({usable} and load_fraction > 0, false) as is_usable from {table}"
    )


def _point_design_at(store: Store, source: str) -> None:
    store.execute(f"create or replace temp view load_design as {source}")


def _fit(
    store: Store, source: str, start: tuple[float, float, float], tuning: float, tolerance: float
) -> LoadLaw:
    history: list[LoadPass] = []
    _point_design_at(store, source)
    rows, used = (int(count) for count in store.row("checks.load_count"))
    theta = np.array([start[0], math.log(start[1]), start[2]])
    state = _State(
        theta, 0.2 * start[1], 0.0, np.ones(steps.BINS), np.ones(steps.BINS), np.ones(steps.BINS)
    )
    sample = max(SAMPLE_ROWS, int(SAMPLE_SHARE * rows))
    if rows >= 2 * sample:
        state = _from_sample(store, source, state, rows // sample, tuning, history)
    state = _solve(store, state, tuning, tolerance, history, "all")
    last = history[-1]
    return LoadLaw(
        last.offset_k,
        last.gain_k,
        last.exponent,
        state.noise_k,
        state.noise_share,
        used,
        rows - used,
        tuple(history),
    )


def _from_sample(
    store: Store,
    source: str,
    state: _State,
    stride: int,
    tuning: float,
    history: list[LoadPass],
) -> _State:
    """Solve on a sample; return its solution, with brackets for the whole."""
    store.execute("create or replace temp table load_sample as select * from load_design limit 0")
    taken = store.append("checks.load_sample", "temp.load_sample", stride=stride)
    _point_design_at(store, "select * from temp.load_sample")
    try:
        found = _solve(store, state, tuning, 1e-4, history, "sample")
    finally:
        _point_design_at(store, source)
    return replace(found, reach=START_REACH / np.sqrt(found.counts), step=taken**-0.5)


def _solve(
    store: Store,
    state: _State,
    tuning: float,
    tolerance: float,
    history: list[LoadPass],
    rows: str,
) -> _State:
    """Pass over the rows until the step is below the tolerance."""
    for _ in range(MOST_PASSES):
        before = state.step
        state = _advance(store, state, tuning)
        offset, log_gain, exponent = state.theta.tolist()
        law = (offset, math.exp(log_gain), exponent, state.noise_k, state.noise_share)
        history.append(LoadPass(rows, *law, state.step))
        if remaining(before, state.step) < tolerance:
            return state
    raise NotConvergedError(
        f"The load law did not settle in {MOST_PASSES} passes; its last step was "
        f"{state.step:.2g} standard deviations.",
        "Look for a load that hardly varies, or a rise that does not follow it.",
        tuple(history),
    )


def _advance(store: Store, state: _State, tuning: float) -> _State:
    """Make one pass, widening the brackets that do not hold their medians, and its step."""
    reach = state.reach
    while True:
        rows = store.rows("checks.load_pass", **_params(state, tuning, reach))
        if not rows:
            raise NotEnoughDataError("No row with a load is usable.")
        step, size = steps.step_of(rows)
        middles = steps.middles_of(rows, step, state.middles)
        lost = np.isnan(middles)
        if not lost.any():
            break
        if (reach[lost] >= WHOLE).any():
            raise NotEnoughDataError("The size of the residuals has no median.")
        reach = np.where(lost, WIDER * reach, reach)
    noise_k, noise_share = steps.spread_of(rows, middles)
    moved = max(size, abs(noise_k / state.noise_k - 1.0), abs(noise_share - state.noise_share))
    apart = np.abs(middles / state.middles - 1.0)
    counts = steps.counts_of(rows)
    following = np.maximum(np.maximum(apart, 4.0 * size), LEAST_REACH_ROWS / counts)
    return _State(state.theta + step, noise_k, noise_share, middles, following, counts, moved)


def _params(state: _State, tuning: float, reach: Array) -> dict[str, object]:
    offset, log_gain, exponent = state.theta.tolist()
    lows = np.where(reach < WHOLE, state.middles * (1.0 - reach), -1.0)
    highs = np.where(reach < WHOLE, state.middles * (1.0 + reach), np.inf)
    return {
        "offset_k": offset,
        "log_gain": log_gain,
        "exponent": exponent,
        "noise_k": state.noise_k,
        "noise_share": state.noise_share,
        "tuning": tuning,
        "is_newton": state.step < NEWTON_FROM,
        "lows": lows.tolist(),
        "highs": highs.tolist(),
    }
