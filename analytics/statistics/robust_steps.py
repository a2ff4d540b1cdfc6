"""The arithmetic of one robust pass, from the sums that SQL returned: median, step, errors."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from analytics.errors import NotEnoughDataError, UsageError

Array = npt.NDArray[np.float64]

COLLINEAR = 1e-13
"""Smallest eigenvalue of the scaled products that still counts as full rank [1]; chosen."""
MOST_ROUNDS = 60
"""Rounds between step and scale [1]; chosen: each leaves about a tenth of the gap."""
ROUNDING = 1e-15
"""Change of the scale, over itself [1], that is rounding; chosen: a few floating-point steps."""


@dataclass(frozen=True)
class Sums:
    """What one pass over the rows gives, in the order of `queries/checks/robust_pass.sql`.

    `inside` holds (residual, weight, regressors) of the rows whose residuals' size lies in the
    bracket, shape (rows inside, 2 + regressors); `weight_below` is the weight of those under it.
    """

    rows: int
    used: int
    weight_sum: float
    weight_below: float
    inside: Array
    gradient: Array
    by_scale: Array
    products: Array


def sums_from_row(row: Sequence[Any], size: int) -> Sums:
    """Turn the row of `checks.robust_pass` into arrays for `size` regressors.

    Raises NotEnoughDataError where no row is usable, UsageError for a negative weight.
    """
    rows, used, least_weight, weight_sum, weight_below, inside, *lists = row
    if used < size or not weight_sum:
        raise NotEnoughDataError(
            f"{used} of {rows} rows are usable, at least {size} are needed for {size} regressors."
        )
    if least_weight < 0:
        raise UsageError(f"A weight is negative ({least_weight:g}).", "Weights count like rows.")
    gradient, by_scale, products = lists
    near = np.asarray(inside or [], dtype=float).reshape(-1, 6)
    return Sums(
        rows,
        used,
        weight_sum,
        weight_below,
        near[:, : 2 + size],
        _vector(gradient, size),
        _vector(by_scale, size),
        unpack(products, size),
    )


def _vector(values: Sequence[float | None], size: int) -> Array:
    return np.array([0.0 if value is None else value for value in values[:size]])


def unpack(upper: Sequence[float | None], size: int) -> Array:
    """Turn the upper triangle of a 4 × 4 matrix, row by row, into its `size` × `size` corner."""
    full = np.zeros((4, 4))
    full[np.triu_indices(4)] = [0.0 if value is None else value for value in upper]
    corner = full[:size, :size]
    return corner + np.triu(corner, 1).T


def bracketed_median(inside: Array, weight_below: float, weight_sum: float) -> float | None:
    """Return the weighted median from the values inside a bracket and the weight below it.

    With weights of 1 this is the ordinary median, the mean of the middle two for an even count.
    Returns None where the median does not lie inside. `inside` is [rows, (value, weight)].

    >>> bracketed_median(np.array([[3.0, 1.0], [2.0, 1.0]]), weight_below=1.0, weight_sum=4.0)
    2.5
    """
    half = weight_sum / 2
    if not len(inside) or (weight_below and weight_below >= half):
        return None
    ordered = inside[np.lexsort((inside[:, 1], inside[:, 0]))]
    reached = weight_below + np.cumsum(ordered[:, 1])
    at = int(np.searchsorted(reached, half))
    if at >= len(ordered):
        return None
    if reached[at] > half:
        return float(ordered[at, 0])
    above = int(np.searchsorted(reached, half, side="right"))
    return float(ordered[at, 0] + ordered[above, 0]) / 2 if above < len(ordered) else None


def is_bowl(products: Array) -> bool:
    """Tell whether the products have full rank and curve upwards in every direction."""
    return bool(np.linalg.eigvalsh(_scaled(products)).min() > COLLINEAR)


def median_after(sums: Sums, move: Array) -> float | None:
    """Return the median size of the residuals after the coefficients moved, shape (size,).

    Exact while no row from outside the bracket gets into it; None where the median left it.
    """
    residual, weight = sums.inside[:, 0], sums.inside[:, 1]
    size = np.abs(residual - sums.inside[:, 2:] @ move)
    return bracketed_median(np.column_stack([size, weight]), sums.weight_below, sums.weight_sum)


def reweighted_move(sums: Sums, scale: float, scale_constant: float) -> tuple[Array, float] | None:
    """Return the reweighted least-squares step of the coefficients and the scale after it.

    None where the median left the bracket. Raises NotEnoughDataError for collinear regressors.
    """
    move = solve_symmetric(sums.products, scale * sums.gradient)
    median = median_after(sums, move)
    return None if median is None else (move, median / scale_constant)


def newton_move(sums: Sums, scale: float, scale_constant: float) -> tuple[Array, float] | None:
    """Return the Newton step of the coefficients and the scale after it, solved together.

    The step is straight in the scale, and the scale is the exact median after the step, from the
    rows in the bracket: the two are brought together without another scan. None where the median
    left the bracket.
    """
    at_scale = solve_symmetric(sums.products, scale * sums.gradient)
    by_scale = solve_symmetric(sums.products, sums.by_scale)
    after = scale
    for _ in range(MOST_ROUNDS):
        before, move = after, at_scale - by_scale * (after - scale)
        median = median_after(sums, move)
        if median is None:
            return None
        after = median / scale_constant
        if abs(after - before) <= ROUNDING * scale:
            break
    return move, after


def step_size(step: Array, products: Array, weight_sum: float, scale: float) -> float:
    """Return the largest move of a coefficient in standard deviations of the response [1]."""
    return float(np.max(np.abs(step) * np.sqrt(np.diag(products) / weight_sum)) / scale)


def solve_symmetric(matrix: Array, right: Array) -> Array:
    """Solve a symmetric positive system after bringing its diagonal to one.

    Raises NotEnoughDataError where the regressors are collinear.
    """
    if not is_bowl(matrix):
        raise NotEnoughDataError(
            "The regressors are collinear: one follows from the others.",
            "Leave one out, or bring rows in which they differ.",
        )
    units = _units(matrix)
    shape = units.reshape(-1, *[1] * (right.ndim - 1))
    return np.asarray(np.linalg.solve(_scaled(matrix), right * shape) * shape)


def _units(matrix: Array) -> Array:
    diagonal = np.diag(matrix)
    return np.asarray(1 / np.sqrt(np.where(diagonal > 0, diagonal, 1.0)))


def _scaled(matrix: Array) -> Array:
    units = _units(matrix)
    return np.asarray(matrix * units[:, None] * units)


def standard_errors(row: Sequence[Any], size: int, scale: float, *, is_weighted: bool) -> Array:
    """Turn the row of `checks.robust_errors` into standard errors [`size`].

    Without weights Huber (1981), section 7.6: the classical form times his correction
    (sample variance of psi', as R's MASS does). With weights the sandwich, which needs no equal
    spread. Neither knows of rows that belong together.
    """
    used, score_squares, slopes, slope_squares, products, bread, filling = row
    if is_weighted:
        half = solve_symmetric(unpack(bread, size), np.eye(size))
        return np.asarray(scale * np.sqrt(np.diag(half @ unpack(filling, size) @ half)))
    mean = slopes / used
    variance = (slope_squares - used * mean**2) / max(used - 1, 1)
    correction = 1 + size * variance / (used * mean**2)
    inverse = solve_symmetric(unpack(products, size), np.eye(size))
    spread = scale * np.sqrt(score_squares / max(used - size, 1)) * correction / mean
    return np.asarray(spread * np.sqrt(np.diag(inverse)))
