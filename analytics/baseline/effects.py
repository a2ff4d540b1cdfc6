"""Partially pooled effects: makes, ratings, minutes, cameras by quarter, visits."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from analytics.baseline import minutes as mn
from analytics.baseline import shelter as sh
from analytics.baseline.minutes import MINUTE_BANDS
from analytics.baseline.state import (
    CHANNELS,
    POLE_FAMILIES,
    SHELTER_LEVELS,
    Array,
    Groups,
    Variances,
)
from analytics.settings import BaselineSettings, Held
from analytics.warehouse import Warehouse

LEVELS_PRIOR = 4.0
"""Levels that the prior variance counts for [1]; chosen, so that few levels pool strongly."""
USUAL_VISIT_K2 = 0.5
"""Variance of visits before they speak [K^2]; chosen: air read to half a kelvin, panels unlike."""
ROUNDING = 1e-9
"""Share of a sum below which what is left of it is rounding [1]; chosen: a level of one reading."""
LEAST_VARIANCE = 1e-30
"""What stands for a component of 0 where it is divided by [K^2 or 1]; chosen: no effect left."""


@dataclass
class Effects:
    """Effects in order of their level ids (from 1); minute factors by (channel, band)."""

    make_offset_k: Array
    make_gain: Array
    rating_gain: Array
    camera_k: Array
    minute_factor: Array
    minute_spread: Array
    late_share: Array
    """Share of the load that came on with the inspection, by channel [1], (3,)."""
    shelter: Array
    variances: Variances
    make_spent: Array
    """Degrees of freedom that each make takes from its rows [1]; of ratings likewise."""
    rating_spent: Array
    make_group: Array
    """Index of the group of each make, from 0."""
    rating_group: Array
    is_held: bool = False
    """Whether variances and spreads stand still throughout."""


def start_effects(warehouse: Warehouse, settings: BaselineSettings) -> Effects:
    """Set every effect to nil, its variance to what it starts from or is held at."""

    def count(name: str) -> int:
        return int(warehouse.fetch(f"select count(*) from fitting.{name}_level")[0][0])

    makes, bands = count("make"), (len(CHANNELS), MINUTE_BANDS)
    return Effects(
        make_offset_k=np.zeros(makes),
        make_gain=np.zeros(makes),
        rating_gain=np.zeros(count("rating")),
        camera_k=np.zeros(count("camera")),
        minute_factor=np.ones(bands),
        minute_spread=np.ones(bands),
        late_share=np.full(len(CHANNELS), 0.0 if settings.held else mn.LATE_SHARE),
        shelter=np.ones(len(CHANNELS) * len(POLE_FAMILIES) * SHELTER_LEVELS),
        variances=_start_variances(settings.held),
        make_spent=np.zeros(makes),
        rating_spent=np.zeros(count("rating")),
        make_group=_level_groups(warehouse, "make"),
        rating_group=_level_groups(warehouse, "rating"),
        is_held=settings.held is not None,
    )


def _level_groups(warehouse: Warehouse, name: str) -> Array:
    found = warehouse.rows(f"fitting.{name}_group")
    return np.array([group_id - 1 for _, group_id in found], dtype=np.float64)


def _start_variances(held: Held | None) -> Variances:
    if held is None:
        return Variances()
    names = [one.name for one in fields(Variances)]
    return Variances(**{name: max(getattr(held, name), LEAST_VARIANCE) for name in names})


def put_effects(warehouse: Warehouse, effects: Effects) -> None:
    """Write all effects but the visits' to their small tables."""
    makes = np.arange(1, len(effects.make_gain) + 1)
    warehouse.put(
        "fitting.make_effect",
        {
            "make_id": makes,
            "offset_k": effects.make_offset_k,
            "gain_share": effects.make_gain,
        },
    )
    ratings = np.arange(1, len(effects.rating_gain) + 1)
    warehouse.put(
        "fitting.rating_effect", {"rating_id": ratings, "gain_share": effects.rating_gain}
    )
    shelters = np.arange(1, len(effects.shelter) + 1)
    warehouse.put("fitting.shelter_factor", {"shelter_id": shelters, "factor": effects.shelter})
    put_cameras(warehouse, effects)
    warehouse.put(
        "fitting.minute_factor",
        {
            "channel": np.repeat(np.array(CHANNELS), MINUTE_BANDS),
            "minute_band": np.tile(np.arange(MINUTE_BANDS), len(CHANNELS)),
            "factor": effects.minute_factor.ravel(),
            "spread_factor": effects.minute_spread.ravel(),
        },
    )


def put_cameras(warehouse: Warehouse, effects: Effects) -> None:
    """Write the camera effects to `fitting.camera_effect`."""
    ids = np.arange(1, len(effects.camera_k) + 1)
    warehouse.put("fitting.camera_effect", {"camera_level_id": ids, "offset_k": effects.camera_k})


def moment_variance(
    right: Array, precision: Array, prior: float, owner: Array | None = None
) -> float:
    """Return the variance of effects whose estimates are right / precision.

    Method of moments: E (right / precision)² = variance + 1 / precision, weighted by precision,
    with `prior` counted as LEVELS_PRIOR levels. With the `owner` of each level, (levels,), the
    effects of an owner are counted about their own mean, which its gain carries. Source:
    DerSimonian & Laird 1986; about a mean, Searle, Casella & McCulloch 1992, from memory.
    """
    good = precision > 0
    if not good.any():
        return prior
    p = precision[good]
    freedom, held = float(good.sum()), float(p.sum())
    if owner is not None:
        sums, squares = (np.bincount(owner[good].astype(int), x) for x in (p, p**2))
        met = sums > 0
        freedom -= float(met.sum())
        held -= float(np.sum(squares[met] / sums[met]))
    typical = float(np.sum(p**2) / np.sum(p))
    top = float(np.sum(right[good] ** 2 / p)) - freedom + LEVELS_PRIOR * prior * typical
    return max(top / (held + LEVELS_PRIOR * typical), prior * 1e-3)


def level_arrays(rows: list[tuple[object, ...]], count: int, columns: list[int]) -> list[Array]:
    """Return the chosen columns of rows that begin with a level's id, (count,) each, else 0."""
    table = np.zeros((len(columns), count))
    for row in rows:
        for i, column in enumerate(columns):
            table[i, int(str(row[0])) - 1] = float(str(row[column]))
    return list(table)


def update_slopes(
    warehouse: Warehouse, effects: Effects, groups: Groups, *, is_settling: bool
) -> float:
    """Update make, rating, minute and shelter effects from one look; return the largest change."""
    before = [part.copy() for part in _slopes(effects)]
    is_settling = is_settling and not effects.is_held
    warehouse.build("fitting.kind_sum")
    _update_makes(warehouse, effects, is_settling)
    _update_ratings(warehouse, effects, is_settling)
    _centre(effects, groups)
    _update_minutes(warehouse, effects, groups)
    _update_shelters(warehouse, effects, groups)
    return max(
        float(np.max(np.abs(a - b), initial=0.0))
        for a, b in zip(_slopes(effects), before, strict=True)
    )


def _slopes(effects: Effects) -> list[Array]:
    return [effects.make_gain, effects.rating_gain, effects.minute_factor, effects.shelter]


def _update_makes(warehouse: Warehouse, effects: Effects, is_settling: bool) -> None:
    rows = warehouse.rows("fitting.make_sum")
    w, w_e, w_ll, w_le, w_l = level_arrays(rows, len(effects.make_gain), [3, 4, 5, 6, 7])
    v = effects.variances
    d, u = effects.make_offset_k, effects.make_gain
    right_d = w_e + w * d + w_l * u
    right_u = w_le + w_l * d + w_ll * u
    a, b = w + 1.0 / v.make_offset, w_ll + 1.0 / v.make_gain
    determinant = a * b - w_l**2
    effects.make_spent = (w * b + w_ll * a - 2.0 * w_l**2) / determinant
    effects.make_offset_k = (b * right_d - w_l * right_u) / determinant
    effects.make_gain = (a * right_u - w_l * right_d) / determinant
    if not is_settling:
        return
    free = _left(w_ll, w_l, w)
    owner, own_u = effects.make_group, right_u - w_l * right_d / np.maximum(w, 1e-12)
    v.make_gain = moment_variance(own_u, free, 0.005, owner)
    level = _left(w, w_l, w_ll)
    own_d = right_d - w_l * right_u / np.maximum(w_ll, 1e-12)
    v.make_offset = moment_variance(own_d, level, 0.1, owner)


def _left(square: Array, product: Array, other: Array) -> Array:
    """Return what a regressor's square keeps once the other is fitted; 0 where that is rounding."""
    left = np.where(other > 0, square - product**2 / np.maximum(other, 1e-12), 0.0)
    return np.where(left > ROUNDING * square, left, 0.0)


def _update_ratings(warehouse: Warehouse, effects: Effects, is_settling: bool) -> None:
    rows = warehouse.rows("fitting.rating_sum")
    w_ll, w_le = level_arrays(rows, len(effects.rating_gain), [5, 6])
    right = w_le + w_ll * effects.rating_gain
    effects.rating_gain = right / (w_ll + 1.0 / effects.variances.rating_gain)
    effects.rating_spent = w_ll / (w_ll + 1.0 / effects.variances.rating_gain)
    if is_settling:
        effects.variances.rating_gain = moment_variance(right, w_ll, 0.01, effects.rating_group)


def _centre(effects: Effects, groups: Groups) -> None:
    """Let makes and ratings of a group have mean nil; its offset and gain carry what they share.

    So they have at the joint optimum with a flat prior; the prior of a gain must not be met by
    effects that all lean the same way.
    """
    for g in range(groups.count):
        makes, ratings = effects.make_group == g, effects.rating_group == g
        if makes.any():
            groups.coefficients[g, 0] += effects.make_offset_k[makes].mean()
            effects.make_offset_k[makes] -= effects.make_offset_k[makes].mean()
            groups.coefficients[g, 1] *= 1.0 + effects.make_gain[makes].mean()
            effects.make_gain[makes] -= effects.make_gain[makes].mean()
        if ratings.any():
            groups.coefficients[g, 1] *= 1.0 + effects.rating_gain[ratings].mean()
            effects.rating_gain[ratings] -= effects.rating_gain[ratings].mean()


def _update_minutes(warehouse: Warehouse, effects: Effects, groups: Groups) -> None:
    gauge = mn.update_factors(
        effects.minute_factor,
        effects.late_share,
        warehouse.rows("fitting.minute_sum"),
        effects.variances.minute_gain,
        is_held=effects.is_held,
    )
    for c, channel in enumerate(CHANNELS):
        mine = [g for g in set(effects.rating_group.astype(int)) if groups.channel[g] == channel]
        groups.coefficients[mine, 1] *= gauge[c]


def _update_shelters(warehouse: Warehouse, effects: Effects, groups: Groups) -> None:
    usual = np.ones_like(effects.shelter)
    if not effects.is_held:
        usual = sh.usual_factors(
            groups.channel, groups.device_class, groups.is_multi_pole, groups.coefficients
        )
    rows = warehouse.rows("fitting.shelter_sum")
    sh.update(effects.shelter, usual, rows, effects.variances.shelter)
