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
SAMPLE_ROWS = 100_000
"""Rows of the sample a large table starts from [1]; chosen: solved in about one scan's time."""
NEWTON_ROWS = 5_000
"""Below this [1] only reweighting is used; chosen: the bend of psi is too coarse for Newton."""
NEWTON_FROM = 1e-2
"""Step [1], in standard deviations, from which Newton takes over; chosen."""
BRACKET_STEPS = 3.0
"""Half-width of the bracket around the median size, in last steps [1]; chosen: the next step is
shorter than the last."""
NEWTON_SHRINKS = 0.2
"""What a Newton step is of the Newton step before it, at most [1]; chosen for the bracket."""
BRACKET_ROWS = 20
"""Rows [1] the bracket should at least hold on either side, about; chosen."""
WHOLE = 0.5
"""Half-width [1] from which on the bracket is simply everything; chosen."""
SAMPLE_TOLERANCE = 1e-4
"""Distance [1] at which the sample is solved well enough; chosen: a twentieth of its own error."""
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
    def rows(self, name: str, **params: object) -> list[tuple[Any, ...]]: ...  # noqa: D102
    def append(self, name: str, table: str, **params: object) -> int: ...  # noqa: D102


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


@dataclass(frozen=True)
class _Moved:
    """A pass, the step of the coefficients it gave, the scale after it, and how."""

    sums: Sums
    move: Array
    scale: float
    method: str


def point_design_at(store: Store, source: str) -> None:
    """Let the queries' `robust_design` be the rows of `source`, a select."""
    store.execute(f"create or replace temp view robust_design as {source}")


def from_sample(
    store: Store, source: str, problem: Problem, rows: int, history: list[RobustPass]
) -> State | None:
    """Solve on a sample and return its solution, or None where the sample has none."""
    store.execute(
        "create or replace temp table robust_sample as select * from robust_design limit 0"
    )
    store.append("checks.robust_sample", "temp.robust_sample", stride=rows // SAMPLE_ROWS)
    point_design_at(store, "select * from temp.robust_sample")
    quick = replace(problem, tolerance=max(problem.tolerance, SAMPLE_TOLERANCE))
    try:
        state, _ = solve(store, quick, None, history, "sample")
    except (NotEnoughDataError, NotConvergedError):
        return None
    finally:
        point_design_at(store, source)
    return replace(state, step=SAMPLE_ROWS**-0.5, method="sample")


def solve(
    store: Store, problem: Problem, start: State | None, history: list[RobustPass], rows: str
) -> tuple[State, Sums]:
    """Pass over the rows until the step is below the tolerance."""
    state = start or _least_squares(store, problem, history, rows)
    for _ in range(MOST_PASSES):
        before = state.step
        state, sums = _advance(store, problem, state)
        history.append(_record(state, rows))
        if remaining(before, state.step) < problem.tolerance:
            return state, sums
    raise NotConvergedError(
        f"The {problem.psi} fit did not settle in {MOST_PASSES} passes; its last step was "
        f"{state.step:.2g} standard deviations.",
        "Look for a regressor that hardly varies, or a response with few distinct values.",
        tuple(history),
    )


def remaining(before: float, step: float) -> float:
    """Estimate how far the solution still is, from the ratio of the last two steps."""
    ratio = step / before if np.isfinite(before) else 0.9
    return step * ratio / (1 - ratio) if ratio < 0.9 else step * 10


def _record(state: State, rows: str) -> RobustPass:
    return RobustPass(rows, state.method, tuple(state.beta.tolist()), state.scale, state.step)


def _least_squares(store: Store, problem: Problem, history: list[RobustPass], rows: str) -> State:
    """Return the least-squares start: a pass without bound, and one to refine it."""
    unbound = replace(problem, tuning=UNBOUND)
    sums = _sums(store, unbound, State(np.zeros(problem.size), 1.0), 0.0, is_newton=False)
    state = State(steps.solve_symmetric(sums.products, sums.gradient), 1.0)
    moved = _moved(store, unbound, state, is_newton=False)
    beta = state.beta + moved.move
    largest = np.max(np.abs(beta) * np.sqrt(np.diag(moved.sums.products) / moved.sums.weight_sum))
    scale = _checked_scale(moved.scale, floor=ROUNDING * float(largest))
    state = State(beta, scale, np.inf, "least squares", sums.used)
    history.append(_record(state, rows))
    return state


def _advance(store: Store, problem: Problem, state: State) -> tuple[State, Sums]:
    """Make one pass and return where it leads: a Newton step near the solution, else reweighted.

    A Newton step that does not halve the one before is followed by a reweighted one.
    """
    is_newton = state.step < NEWTON_FROM and state.rows >= NEWTON_ROWS and state.is_shrinking
    found = _moved(store, problem, state, is_newton=is_newton)
    sums, scale = found.sums, _checked_scale(found.scale)
    size = steps.step_size(found.move, sums.products, sums.weight_sum, state.scale)
    step = max(size, abs(scale / state.scale - 1))
    is_shrinking = found.method != "newton" or state.method == "sample" or step < state.step / 2
    beta = state.beta + found.move
    return State(beta, scale, step, found.method, sums.used, is_shrinking), sums


def _checked_scale(scale: float, floor: float = 0.0) -> float:
    if scale <= floor:
        raise NotEnoughDataError(
            "At least half of the rows lie exactly on the fit, so their spread is zero.",
            "A robust fit needs a response that varies about its line.",
        )
    return scale


def _moved(store: Store, problem: Problem, state: State, *, is_newton: bool) -> _Moved:
    """Make a pass and its step, widening the bracket until it holds the median."""
    shrink = NEWTON_SHRINKS if state.method == "newton" else 1.0
    reach = max(BRACKET_STEPS * shrink * state.step, BRACKET_ROWS / max(state.rows, 1))
    while True:
        sums = _sums(store, problem, state, reach, is_newton=is_newton)
        if is_newton and not steps.is_bowl(sums.products):
            is_newton = False
            continue
        step = steps.newton_move if is_newton else steps.reweighted_move
        found = step(sums, state.scale, problem.scale_constant)
        if found is not None:
            return _Moved(sums, *found, "newton" if is_newton else "reweighted")
        if reach >= WHOLE:
            raise NotEnoughDataError("The size of the residuals has no median: no weight is left.")
        reach *= 16


def _sums(store: Store, problem: Problem, state: State, reach: float, *, is_newton: bool) -> Sums:
    """Run the pass with a bracket of that relative half-width; none at 0, all from `WHOLE` on."""
    middle = state.scale * problem.scale_constant
    low, high = (middle * (1 - reach), middle * (1 + reach)) if reach < WHOLE else (-1.0, np.inf)
    if not reach:
        low = high = -1.0
    params = {**problem.fixed(state), "low": low, "high": high, "is_newton": is_newton}
    return steps.sums_from_row(store.row("checks.robust_pass", **params), problem.size)
