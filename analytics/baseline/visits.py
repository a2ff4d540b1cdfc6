"""What whole visits have in common: cameras, visits, and the common part of offsets and floors."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analytics.baseline.effects import (
    LEVELS_PRIOR,
    Effects,
    level_arrays,
    moment_variance,
    put_cameras,
)
from analytics.baseline.equations import FIRST_SLOPE
from analytics.baseline.state import Array, Groups
from analytics.warehouse import Warehouse

OFFSET, FLOOR = 0, FIRST_SLOPE
"""Where the two coefficients stand that a visit's effect can take the place of."""
LEAST_LEFT = 1e-6
"""Share of a shift's square that must be left beside cameras and visits for it to be told from them
[1]; chosen."""
MOST_ROUNDS = 30
"""Rounds over the visits' sums in which their variance and the shifts settle together [1]; chosen:
each leaves about six tenths of the gap."""
USUAL_VISIT_K2 = 0.5
"""Variance of visits before they speak [K^2]; chosen: air read to half a kelvin, panels unlike."""
SETTLED = 1e-3
"""Change of the logarithm of the visits' variance that ends them [1]; chosen."""


@dataclass(frozen=True)
class _Sums:
    """Sums of each camera and quarter, visits integrated out.

    `weight` and `right` (cameras,), `cross` (2, cameras) with the two shifts; `square` (2, 2) and
    `gradient` (2,) of the shifts over all rows.
    """

    weight: Array
    right: Array
    cross: Array
    square: Array
    gradient: Array


@dataclass(frozen=True)
class _Move:
    """A joint move: the two shifts (2,), the cameras (cameras,), what the cameras' own rows say.

    `own` / `weight` is a camera's estimate without shrinkage [K].
    """

    shift: Array
    cameras: Array
    own: Array
    weight: Array

    @property
    def named(self) -> dict[str, object]:
        """The shifts as the queries' parameters."""
        return {"offset_step_k": float(self.shift[0]), "floor_step": float(self.shift[1])}


def update_offsets(
    warehouse: Warehouse, groups: Groups, effects: Effects, *, is_settling: bool
) -> float:
    """Update cameras, visits and what they trade with; return the cameras' largest change [K].

    A shift of all offsets, or of all floor slopes, looks much like a change of the visits' effects:
    pass by pass they would creep past one another. So both shifts, the cameras and the visits are
    solved together.
    """
    is_learning = is_settling and not effects.is_held
    warehouse.build("fitting.visit_sum")
    move = _solve(warehouse, groups, effects, is_settling=is_settling)
    for _ in range(MOST_ROUNDS if is_learning else 0):
        before = effects.variances.visit
        _learn(warehouse, effects, move)
        move = _solve(warehouse, groups, effects, is_settling=is_settling)
        if abs(np.log(effects.variances.visit / before)) < SETTLED:
            break
    effects.camera_k = effects.camera_k + move.cameras
    put_cameras(warehouse, effects)
    groups.coefficients[groups.taught, OFFSET] += move.shift[0]
    groups.coefficients[groups.taught, FLOOR] += move.shift[1]
    if is_settling:
        groups.prior_mean[:, FLOOR] += move.shift[1]
    _put_visits(warehouse, effects, move)
    return float(np.max(np.abs(move.cameras), initial=0.0))


def follow_visits(warehouse: Warehouse, effects: Effects) -> None:
    """Let the visits' effects follow from all the others, which stand still."""
    warehouse.build("fitting.visit_sum")
    still = np.zeros(len(effects.camera_k))
    _put_visits(warehouse, effects, _Move(np.zeros(2), still, still, still))


def spent(warehouse: Warehouse, effects: Effects, count: int) -> Array:
    """Return the degrees of freedom [1] that visits, makes and ratings take from each group."""
    found = np.zeros(count)
    rows = warehouse.rows("fitting.visit_spent", visit_variance=effects.variances.visit)
    for group, share in rows:
        found[int(group) - 1] += share
    for owner, own in (
        (effects.make_group, effects.make_spent),
        (effects.rating_group, effects.rating_spent),
    ):
        at = owner.astype(int)
        levels = np.bincount(at, minlength=count)
        np.add.at(found, at, own * (1.0 - 1.0 / levels[at]))  # one is the group's own
    return found


def _put_visits(warehouse: Warehouse, effects: Effects, move: _Move) -> None:
    """Put the visits' effects where a move of cameras and shifts leaves them."""
    _put_step(warehouse, move)
    warehouse.build("fitting.visit_effect", visit_variance=effects.variances.visit, **move.named)


def _put_step(warehouse: Warehouse, move: _Move) -> None:
    ids = np.arange(1, len(move.cameras) + 1)
    warehouse.put("fitting.camera_step", {"camera_level_id": ids, "step_k": move.cameras})


def _learn(warehouse: Warehouse, effects: Effects, move: _Move) -> None:
    """Let the variances of cameras and visits follow what a move would leave."""
    v = effects.variances
    v.camera = moment_variance(move.own, move.weight, 0.1)
    _put_step(warehouse, move)
    v.visit = visit_variance(*warehouse.row("fitting.visit_moment", **move.named))


def visit_variance(freedom: float, mean: float, within: float, square: float) -> float:
    """Return the variance of visits about their camera's mean [K^2], the prior's beside.

    Arguments: the row of `fitting.visit_moment`: degrees of freedom [1], mean weight of a visit,
    what the weights hold within cameras [1/K^2], weighted square within cameras [1].
    """
    prior = LEVELS_PRIOR * mean
    excess = max(square - freedom, 0.0) + prior * USUAL_VISIT_K2
    return max(excess / (within + prior), 1e-3) if prior > 0 else USUAL_VISIT_K2


def _solve(warehouse: Warehouse, groups: Groups, effects: Effects, *, is_settling: bool) -> _Move:
    """Return the joint move of shifts and cameras, visits following, at the present variances."""
    v = effects.variances
    sums = _read(warehouse, len(effects.camera_k), v.visit)
    shift = _shift(groups, effects, sums, is_settling=is_settling)
    own = sums.right - shift @ sums.cross + sums.weight * effects.camera_k
    cameras = own / (sums.weight + 1.0 / v.camera) - effects.camera_k
    return _Move(shift, cameras, own, sums.weight)


def _read(warehouse: Warehouse, cameras: int, variance: float) -> _Sums:
    rows = warehouse.rows("fitting.camera_sum", visit_variance=variance)
    w, w_e, w_a, w_f = level_arrays(rows, cameras, [2, 3, 4, 5])
    aa, af, ff, ae, fe = (
        float(part.sum()) for part in level_arrays(rows, cameras, [*range(6, 11)])
    )
    square, gradient = np.array([[aa, af], [af, ff]]), np.array([ae, fe])
    return _Sums(w, w_e, np.array([w_a, w_f]), square, gradient)


def _shift(groups: Groups, effects: Effects, sums: _Sums, *, is_settling: bool) -> Array:
    """Return how far to move all offsets [K] and all floor slopes [1], (2,)."""
    prior, pull = _priors(groups, is_settling=is_settling)
    held = sums.weight + 1.0 / effects.variances.camera
    square = sums.square + prior - (sums.cross / held) @ sums.cross.T
    whole = np.diag(sums.square + prior)
    leaning = sums.right - effects.camera_k / effects.variances.camera
    right = sums.gradient + pull - sums.cross @ (leaning / held)
    kept = np.flatnonzero(np.diag(square) > LEAST_LEFT * whole)
    if np.linalg.det(square) <= LEAST_LEFT * np.prod(np.diag(square)):
        kept = kept[:1]
    shift = np.zeros(2)
    shift[kept] = np.linalg.solve(square[np.ix_(kept, kept)], right[kept])
    return shift


def _priors(groups: Groups, *, is_settling: bool) -> tuple[Array, Array]:
    """Return what the priors hold the shifts by, (2, 2), and where they pull them, (2,).

    While the groups still share what they know of their floor slopes, the mean they share moves
    along, and only the settings' prior holds it.
    """
    taught = groups.taught
    precision = groups.prior_precision[np.ix_(taught, [OFFSET, FLOOR])].copy()
    gap = (groups.prior_mean - groups.coefficients)[np.ix_(taught, [OFFSET, FLOOR])]
    pull = precision * gap
    if is_settling:
        firsts = list({groups.channel[g]: g for g in taught}.values())
        own = 1.0 / groups.first_sd[firsts, FLOOR] ** 2
        lean = own * (groups.first_mean - groups.prior_mean)[firsts, FLOOR]
        precision[:, 1] = pull[:, 1] = 0.0
        precision[: len(firsts), 1], pull[: len(firsts), 1] = own, lean
    return np.diag(precision.sum(axis=0)), pull.sum(axis=0)
