"""One Gauss–Newton step of the fixed terms from the sums that SQL brings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from analytics.baseline.state import COEFFICIENTS, Array, Groups
from analytics.errors import NotConvergedError
from analytics.settings import BaselineSettings
from analytics.warehouse import Warehouse

_SIZE = len(COEFFICIENTS)
FIRST_SLOPE = 2
"""From here on the coefficients are slopes that groups of a channel have much in common in."""
_UPPER = tuple((i, j) for i in range(_SIZE) for j in range(i, _SIZE))
_CROSS = 3 + len(_UPPER)
_RIGHT = _CROSS + _SIZE + 1
UNITS = np.array([1.0, 10.0, 0.3, 0.1, 0.1, 0.1])
"""What counts as one unit of change of each coefficient."""


@dataclass(frozen=True)
class GroupSums:
    """Normal equations of one group: A (6, 6), cross terms with the exponent, right sides."""

    group: int
    reading_count: int
    counted: int
    matrix: Array
    cross: Array
    exponent_square: float
    right: Array
    exponent_right: float


def read_sums(warehouse: Warehouse) -> list[GroupSums]:
    """Run `fitting.normal_sum` and shape its rows."""
    return [_shape(row) for row in warehouse.rows("fitting.normal_sum")]


def _shape(row: tuple[Any, ...]) -> GroupSums:
    matrix = np.zeros((_SIZE, _SIZE))
    for (i, j), value in zip(_UPPER, row[3:_CROSS], strict=True):
        matrix[i, j] = matrix[j, i] = value
    return GroupSums(
        group=int(row[0]) - 1,
        reading_count=int(row[1]),
        counted=int(row[2]),
        matrix=matrix,
        cross=np.array(row[_CROSS : _CROSS + _SIZE], dtype=float),
        exponent_square=float(row[_RIGHT - 1]),
        right=np.array(row[_RIGHT : _RIGHT + _SIZE], dtype=float),
        exponent_right=float(row[_RIGHT + _SIZE]),
    )


def step(groups: Groups, sums: list[GroupSums], settings: BaselineSettings) -> float:
    """Move coefficients and exponents by one step; return the largest scaled change [1].

    The exponent is shared by the groups of a channel: it is solved first, from what the groups'
    own coefficients leave over (block elimination), then each group for itself.
    """
    largest = 0.0
    for channel in sorted(set(groups.channel)):
        mine = [s for s in sums if groups.channel[s.group] == channel]
        if mine:
            largest = max(largest, _channel_step(groups, mine, channel, settings))
    return largest


def _channel_step(
    groups: Groups, sums: list[GroupSums], channel: str, settings: BaselineSettings
) -> float:
    solved = [_own(groups, s) for s in sums]
    prior = 1.0 / settings.exponent.sd**2
    curvature = prior + sum(
        s.exponent_square - s.cross @ w for s, (_, w, _) in zip(sums, solved, strict=True)
    )
    slope = prior * (settings.exponent.mean - groups.exponent[channel]) + sum(
        s.exponent_right - s.cross @ d for s, (d, _, _) in zip(sums, solved, strict=True)
    )
    low, high = settings.exponent_bounds
    old = groups.exponent[channel]
    move = float(np.clip(slope / curvature, -0.15, 0.15))
    groups.exponent[channel] = float(np.clip(old + move, low, high))
    move = groups.exponent[channel] - old
    changes = [
        _apply(groups, s, d - move * w, e) for s, (d, w, e) in zip(sums, solved, strict=True)
    ]
    return max(*changes, abs(move) / 0.1, 0.0)


def _own(groups: Groups, s: GroupSums) -> tuple[Array, Array, Array]:
    """Solve one group's system for its right side and cross terms; add its standard errors."""
    precision = groups.prior_precision[s.group]
    matrix = s.matrix + np.diag(precision)
    pull = precision * (groups.prior_mean[s.group] - groups.coefficients[s.group])
    both = np.linalg.solve(matrix, np.column_stack([s.right + pull, s.cross]))
    return both[:, 0], both[:, 1], np.sqrt(np.diag(np.linalg.inv(matrix)))


def _apply(groups: Groups, s: GroupSums, move: Array, error: Array) -> float:
    """Move one group; return its largest change in units, or in tenths of a standard error."""
    before = groups.coefficients[s.group].copy()
    groups.coefficients[s.group] += move
    groups.coefficients[s.group, 1] = max(groups.coefficients[s.group, 1], 1.0)
    moved = np.abs(groups.coefficients[s.group] - before)
    return float(np.max(moved / np.maximum(UNITS, 10.0 * error)))


def pool_slopes(groups: Groups, sums: list[GroupSums]) -> None:
    """Let the groups of a channel share what they know of floor and neighbour slopes.

    Each slope's prior becomes the groups' common mean with the variance between groups, by EM on
    what each group's own readings say; the settings' prior counts as one group more.
    """
    for channel in sorted(set(groups.channel)):
        mine = [s for s in sums if groups.channel[s.group] == channel]
        if not mine:
            continue
        taught = {s.group for s in mine}
        own = [_own_estimate(groups, s) for s in mine]
        for j in range(FIRST_SLOPE, _SIZE):
            values, variances = (np.array([one[k][j] for one in own]) for k in (0, 1))
            first = mine[0].group
            mean, sd = groups.first_mean[first, j], groups.first_sd[first, j]
            middle, between = _common(values, variances, float(mean), float(sd))
            for g in range(groups.count):
                if groups.channel[g] == channel:
                    groups.prior_mean[g, j] = middle
                    groups.prior_precision[g, j] = 1.0 / between
                    if g not in taught:
                        groups.coefficients[g, j] = middle


def _own_estimate(groups: Groups, s: GroupSums) -> tuple[Array, Array]:
    """Return the coefficients and their variances without their priors, (6,) each."""
    prior, mean = groups.prior_precision[s.group], groups.prior_mean[s.group]
    whole = 1.0 / np.diag(np.linalg.inv(s.matrix + np.diag(prior)))
    own = np.maximum(whole - prior, 1e-6 * whole)
    return (whole * groups.coefficients[s.group] - prior * mean) / own, 1.0 / own


def _common(values: Array, variances: Array, mean: float, sd: float) -> tuple[float, float]:
    """Return mean and variance between groups; a first group at `mean` with `sd` stands beside."""
    middle, between = mean, sd**2
    for _ in range(30):
        weight = 1.0 / (variances + between)
        middle = (weight @ values + mean / sd**2) / (weight.sum() + 1.0 / sd**2)
        share = between / (variances + between)
        square = (share * (values - middle)) ** 2 + share * variances
        between = float((square.sum() + sd**2) / (values.size + 1.0))
    return float(middle), between


def inflation(groups: Groups, sums: list[GroupSums], spent: Array) -> Array:
    """Return (count,) n / (n - p), p what a group's rows pay for, at most 3.

    Arguments: `spent` (count,) degrees of freedom that effects beside the group's own parameters
    take from its rows.
    """
    factor = np.ones(groups.count)
    for s in sums:
        precision = np.diag(groups.prior_precision[s.group])
        own = float(np.trace(np.linalg.solve(s.matrix + precision, s.matrix)))
        left = s.counted - own - float(spent[s.group])
        factor[s.group] = min(s.counted / max(left, s.counted / 3.0, 1e-9), 3.0)
    return factor


def change_scale(groups: Groups, sums: list[GroupSums]) -> Array:
    """Return (count, 6) what counts as one unit of change, ten standard errors or more."""
    return np.maximum(UNITS, 10.0 * standard_errors(groups, sums))


def standard_errors(groups: Groups, sums: list[GroupSums]) -> Array:
    """Return (count, 6) standard errors, prior included, exponent held."""
    errors = np.sqrt(1.0 / groups.prior_precision)
    for s in sums:
        matrix = s.matrix + np.diag(groups.prior_precision[s.group])
        errors[s.group] = np.sqrt(np.diag(np.linalg.inv(matrix)))
    return errors


def exponent_error(groups: Groups, sums: list[GroupSums], channel: str, prior_sd: float) -> float:
    """Return the exponent's standard error [1], the groups' own coefficients profiled out."""
    mine = [s for s in sums if groups.channel[s.group] == channel]
    information = 1.0 / prior_sd**2
    for s in mine:
        matrix = s.matrix + np.diag(groups.prior_precision[s.group])
        information += s.exponent_square - float(s.cross @ np.linalg.solve(matrix, s.cross))
    return float(1.0 / np.sqrt(information))


def check_exponents(
    groups: Groups, sums: list[GroupSums], settings: BaselineSettings, history: tuple[Any, ...]
) -> None:
    """Raise NotConvergedError with the passes where a channel's exponent has run to a bound."""
    for channel in sorted({groups.channel[s.group] for s in sums}):
        exponent = groups.exponent[channel]
        if exponent in settings.exponent_bounds:
            raise NotConvergedError(
                f"The exponent of the {channel} ran to the bound {exponent:g}: the rise does not "
                "follow load to a power.",
                "Look for a fan, a limit, a wrong rating or a wrong unit; the earlier baseline "
                "stays in force.",
                history,
            )
