"""The loop of a robust regression: passes over the rows until the step has died away."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Literal, Protocol

import numpy as np

from analytics.errors import NotConvergedError, NotEnoughDataError
from analytics.statistics import robust_steps as steps
from analytics.statistics.robust_steps import Array, Sums

Psi = Literal["huber", "tukey"]
MOST_REGRESSORS = 4
"""Regressors the static queries hold [1]; chosen, the baseline needs two."""
SAMPLE_ROWS = 200_000
"""Rows of the sample a large table starts from [1]; chosen: solves in under a second."""
NEWTON_ROWS = 5_000
"""Below this [1] only reweighting is used; chosen: the bend of psi is too coarse for Newton."""
NEWTON_FROM = 1e-2
"""Step [1], in standard deviations, from which Newton takes over; chosen."""
BRACKET_ROWS = 4_000
"""Rows [1] the bracket around the median size should at least hold, about; chosen."""
UNBOUND = 1e300
"""A tuning constant [1] that bounds nothing: least squares."""
ROUNDING = 1e-13
"""Spread over the largest term of the fit [1] below which it is rounding, not spread; chosen."""
MOST_PASSES = 300
"""Passes after which the fit is called not converged [1]; chosen."""


class Store(Protocol):
    """What the fit needs of a warehouse."""

    def execute(self, sql: str) -> None: ...  # noqa: D102
    def row(self, name: str, **params: object) -> tuple[Any, ...]: ...  # noqa: D102
    def build(  # noqa: D102
        self, name: str, table: str = "", *, temporary: bool = False, **params: object
    ) -> int: ...


@dataclass(frozen=True)
class RobustPass:
    """One pass: where it led and how far it moved (`step`, in standard deviations)."""

    rows: str
    method: str
    coefficients: tuple[float, ...]
    scale: float
    step: float


@dataclass(frozen=True)
class State:
    """Where the iteration stands, by what step it came there, over how many rows."""

    beta: Array
    scale: float
    step: float = np.inf
    method: str = "start"
    rows: int = 0
    is_shrinking: bool = True


@dataclass(frozen=True)
class Problem:
    """What stays the same over the passes."""

    size: int
    psi: Psi
    tuning: float
    scale_constant: float
    tolerance: float

    def fixed(self, state: State) -> dict[str, object]:
        """Return the parameters that every query takes."""
        padded = [*state.beta.tolist(), *[0.0] * (MOST_REGRESSORS - self.size)]
        names = (f"b{i}" for i in range(1, MOST_REGRESSORS + 1))
        return {
            "psi": self.psi,
            "tuning": self.tuning,
            "scale": state.scale,
            **dict(zip(names, padded, strict=True)),
        }


def point_design_at(store: Store, source: str) -> None:
    """Let the queries' `robust_design` be the rows of `source`, a select."""
    store.execute(f"create or replace temp view robust_design as {source}")


def from_sample(
    store: Store, source: str, problem: Problem, rows: int, history: list[RobustPass]
) -> State | None:
    """Solve on a sample and return its solution, or None where the sample has none."""
    store.build("checks.robust_sample", "robust_sample", temporary=True, stride=rows // SAMPLE_ROWS)
    point_design_at(store, "select * from temp.robust_sample")
    try:
        state, _ = solve(store, problem, None, history, "sample")
    except (NotEnoughDataError, NotConvergedError):
        return None
    finally:
        point_design_at(store, source)
    return replace(state, step=SAMPLE_ROWS**-0.5)


def solve(
    store: Store, problem: Problem, start: State | None, history: list[RobustPass], rows: str
) -> tuple[State, Sums]:
    """Pass over the rows until the step is below the tolerance."""
    state = start or _least_squares(store, problem, history, rows)
    for _ in range(MOST_PASSES):
        before = state.step
        state, sums = _advance(store, problem, state)
        history.append(_record(state, rows))
        if _remaining(before, state.step) < problem.tolerance:
            return state, sums
    raise NotConvergedError(
        f"The {problem.psi} fit did not settle in {MOST_PASSES} passes; its last step was "
        f"{state.step:.2g} standard deviations.",
        "Look for a regressor that hardly varies, or a response with few distinct values.",
        tuple(history),
    )


def _remaining(before: float, step: float) -> float:
    """Estimate how far the solution still is, from the ratio of the last two steps."""
    ratio = step / before if np.isfinite(before) else 0.9
    return step * ratio / (1 - ratio) if ratio < 0.9 else step * 10


def _record(state: State, rows: str) -> RobustPass:
    return RobustPass(rows, state.method, tuple(state.beta.tolist()), state.scale, state.step)


def _least_squares(store: Store, problem: Problem, history: list[RobustPass], rows: str) -> State:
    """Return the least-squares start: a pass without bound, one to refine, one for the scale."""
    unbound = replace(problem, tuning=UNBOUND)
    state = State(np.zeros(problem.size), 1.0)
    for _ in range(2):
        sums = _sums(store, unbound, state, -1.0, -1.0, is_newton=False)
        state = replace(state, beta=state.beta + steps.coefficient_step(sums, 1.0))
    sums, median = _sums_with_median(store, unbound, state, is_newton=False)
    largest = float(np.max(np.abs(state.beta) * np.sqrt(np.diag(sums.products) / sums.weight_sum)))
    scale = _checked_scale(median / problem.scale_constant, floor=ROUNDING * largest)
    state = State(state.beta, scale, np.inf, "least squares")
    history.append(_record(state, rows))
    return state


def _advance(store: Store, problem: Problem, state: State) -> tuple[State, Sums]:
    """Make one pass and return where it leads: a Newton step near the solution, else reweighted.

    A Newton step that does not halve the one before is followed by a reweighted one.
    """
    is_newton = state.step < NEWTON_FROM and state.rows >= NEWTON_ROWS and state.is_shrinking
    sums, median = _sums_with_median(store, problem, state, is_newton=is_newton)
    gap = _checked_scale(median / problem.scale_constant) - state.scale
    move = steps.joint_step(sums, state.scale, gap, problem.scale_constant) if is_newton else None
    if is_newton and move is None:
        sums, median = _sums_with_median(store, problem, state, is_newton=False)
    method = "reweighted" if move is None else "newton"
    if move is None:
        move = np.append(steps.coefficient_step(sums, state.scale), gap)
    size = steps.step_size(move[:-1], sums.products, sums.weight_sum, state.scale)
    step = max(size, abs(float(move[-1])) / state.scale)
    scale = max(state.scale + float(move[-1]), state.scale / 2)
    is_shrinking = method == "reweighted" or step < state.step / 2
    return State(state.beta + move[:-1], scale, step, method, sums.used, is_shrinking), sums


def _checked_scale(scale: float, floor: float = 0.0) -> float:
    if scale <= floor:
        raise NotEnoughDataError(
            "At least half of the rows lie exactly on the fit, so their spread is zero.",
            "A robust fit needs a response that varies about its line.",
        )
    return scale


def _sums_with_median(
    store: Store, problem: Problem, state: State, *, is_newton: bool
) -> tuple[Sums, float]:
    """Make a pass whose bracket holds the median, widening the bracket where it does not."""
    middle = state.scale * problem.scale_constant
    reach = max(6 * state.step, BRACKET_ROWS / max(state.rows, 1))
    while True:
        low, high = (middle * (1 - reach), middle * (1 + reach)) if reach < 0.5 else (-1.0, np.inf)
        sums = _sums(store, problem, state, low, high, is_newton=is_newton)
        median = steps.bracketed_median(sums.inside, sums.weight_below, sums.weight_sum)
        if median is not None:
            return sums, median
        if reach >= 0.5:
            raise NotEnoughDataError("The size of the residuals has no median: no weight is left.")
        reach *= 16


def _sums(
    store: Store, problem: Problem, state: State, low: float, high: float, *, is_newton: bool
) -> Sums:
    params = {**problem.fixed(state), "low": low, "high": high, "is_newton": is_newton}
    return steps.sums_from_row(store.row("checks.robust_pass", **params), problem.size)
