"""Robust regression whose sums run in SQL: Huber and Tukey, by reweighting and Newton steps.

Python owns the loop, `queries/checks/robust_*.sql` the sums. A large table is first solved on a
repeatable sample; the whole table then needs a handful of scans, each of which gives the sums of
a Newton step for coefficients and scale together and the exact median size of the residuals.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from analytics.errors import UsageError
from analytics.statistics import robust_steps as steps
from analytics.statistics.robust_loop import (
    MOST_REGRESSORS,
    SAMPLE_ROWS,
    Problem,
    Psi,
    RobustPass,
    Store,
    from_sample,
    point_design_at,
    solve,
)

MAD_ROUNDED = 0.6745
"""Median size of a standard normal deviate [1], as rounded by Venables and Ripley (R's MASS)."""
MAD_EXACT = 0.6744897501960817
"""The same [1] unrounded, the normal quantile at 3/4; used by statsmodels."""
TUNING: dict[Psi, float] = {"huber": 1.345, "tukey": 4.685}
"""Tuning constant [1] for 95 % efficiency at the normal distribution (Huber 1981; R's MASS)."""


@dataclass(frozen=True)
class RobustFit:
    """Coefficients with standard errors [units of response over regressor], scale [response].

    `rows_left_out` counts the rows with a missing or infinite value; `history` has one record a
    pass. The standard errors take rows for independent.
    """

    regressors: tuple[str, ...]
    coefficients: tuple[float, ...]
    standard_errors: tuple[float, ...]
    scale: float
    psi: Psi
    tuning: float
    scale_constant: float
    rows_used: int
    rows_left_out: int
    history: tuple[RobustPass, ...]

    @property
    def sentence(self) -> str:
        """The fit in one plain sentence."""
        return (
            f"{self.psi.capitalize()} fit to {self.rows_used} rows, {self.rows_left_out} left out "
            f"for missing values: scale {self.scale:.6g} after {len(self.history)} passes."
        )


def robust_fit(
    warehouse: Store,
    table: str,
    response: str,
    regressors: Sequence[str],
    *,
    psi: Psi = "huber",
    tuning: float | None = None,
    scale_constant: float = MAD_EXACT,
    tolerance: float = 1e-10,
    weights: str = "1.0",
) -> RobustFit:
    """Fit response = sum of coefficient · regressor with bounded influence of each row.

    Few gross outliers hardly move it; a structured third of bad rows does. Huber's form is not
    shielded against bad rows at extreme regressor values, and Tukey's finds the solution next to
    the least-squares line, which such rows may have pulled away.

    Takes an open store (temporary objects are made and dropped in it), `table` (table or view),
    and SQL expressions over its columns: `response`, one to four `regressors` ("1.0" for an
    intercept) and `weights`, which count as so many like rows [1]. `tuning` is psi's constant [1],
    by default 1.345 (huber) or 4.685 (tukey); scale = median size of the residuals /
    `scale_constant` [1]; `tolerance` bounds the distance still to go, estimated from the last two
    steps, in standard deviations [1].

    Returns a frozen record; coefficients have shape (regressors,). Without weights the standard
    errors are Huber's (1981, 7.6) with his correction, with weights the sandwich form.
    Raises UsageError (number of regressors, negative weight), NotEnoughDataError (fewer rows than
    regressors, collinear regressors, no spread), NotConvergedError (with the passes as history).
    Source: P. J. Huber, Robust Statistics (Wiley 1981), chapters 6 and 7.

    >>> from analytics.warehouse import open_store
    >>> with open_store() as store:
    ...     rows = "(select i as x, if(i = 7, 90, 2 * i + i % 2) as y from range(20) r(i))"
    ...     fit = robust_fit(store, rows, "y", ["1.0", "x"], psi="tukey")
    >>> [round(value, 2) for value in fit.coefficients]
    [0.37, 2.01]
    """
    if not 1 <= len(regressors) <= MOST_REGRESSORS:
        raise UsageError(f"A robust fit takes 1 to {MOST_REGRESSORS} regressors.")
    problem = Problem(
        len(regressors), psi, TUNING[psi] if tuning is None else tuning, scale_constant, tolerance
    )
    source = _design_select(table, response, regressors, weights)
    try:
        return _fit(warehouse, source, problem, tuple(regressors), is_weighted=weights != "1.0")
    finally:
        warehouse.execute("drop view if exists robust_design")
        warehouse.execute("drop table if exists temp.robust_sample")


def _design_select(table: str, response: str, regressors: Sequence[str], weights: str) -> str:
    """Return the select that gives any table the fixed columns of the queries' design.

    The one place where SQL is put together here: expressions cannot be parameters.
    """
    padded = [*regressors, *["null"] * (MOST_REGRESSORS - len(regressors))]
    columns = [f"({one})::double as x{i}" for i, one in enumerate(padded, 1)]
    finite = [f"isfinite(x{i})" for i in range(1, len(regressors) + 1)]
    usable = " and ".join(["isfinite(y)", "isfinite(w)", *finite])
    return (
        f"select ({response})::double as y, ({weights})::double as w, {', '.join(columns)}, "
        f"coalesce({usable}, false) as is_usable from {table}"
    )


def _fit(
    store: Store, source: str, problem: Problem, names: tuple[str, ...], *, is_weighted: bool
) -> RobustFit:
    history: list[RobustPass] = []
    point_design_at(store, source)
    rows = int(store.row("checks.robust_count")[0])
    start = None
    if rows >= 2 * SAMPLE_ROWS:
        start = from_sample(store, source, problem, rows, history)
    state, sums = solve(store, problem, start, history, "all")
    errors = steps.standard_errors(
        store.row("checks.robust_errors", **problem.fixed(state)),
        problem.size,
        state.scale,
        is_weighted=is_weighted,
    )
    return RobustFit(
        names,
        tuple(state.beta.tolist()),
        tuple(errors.tolist()),
        state.scale,
        problem.psi,
        problem.tuning,
        problem.scale_constant,
        sums.used,
        sums.rows - sums.used,
        tuple(history),
    )
