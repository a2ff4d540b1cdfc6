"""Cameras, inspectors, offices and makes: their means by quarter, and the trials of their drift."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from analytics.statistics.figures import CAMERA_LIMIT_K
from analytics.statistics.proportions import Z95
from analytics.trends.drift import OFF_CHANCE, Array, Followed, Means, follow, quarter_means
from analytics.trends.records import Point, Trial, quarter_name

if TYPE_CHECKING:
    import pandas as pd

WANDER_K = 0.4
"""Prior spread of a steady camera, inspector or office from quarter to quarter [K]; chosen: a third
of a usual camera's limit as a standard deviation."""
TRIFLE_K = 0.2
"""Change that matters to nobody [K]; chosen: what a camera's repeatability is."""
MAKE_TRIFLE = 0.03
"""Change of a make's heat that matters to nobody [1]; chosen."""
MAKE_WANDER = 0.03
"""Prior spread of a make's heat from quarter to quarter [1]; chosen: houses differ."""
MAKE_LIMIT = 0.1
"""Heat beyond that of the other makes from which a make is named [1]; chosen: what units of one
make differ by. A make that runs cooler is no trouble and never named for it."""
CHART_LIMIT = 3.0
"""Standard errors of a steady subject at which its chart's limits lie [1]: Shewhart's."""
UNNAMED = "not noted"
LEAST_FOR_TWO = 30
"""Inspections from which the two gauges of an offset are weighed against each other [1]; chosen."""
MIX = (
    "log_load", "heat", "log_heat", "log_clamped", "log_devices", "electronics", "main_a",
    "main_load", "no_main", "log_minutes", "no_minutes", "spread_k", "log_spread", "low_excess_k",
    "middle_excess_k", "high_excess_k", "top_excess_k", "most_k", "mean_excess_k", "electronic_k",
    "main_k", "slots",
)  # fmt: skip
"""Columns that tell how warm a panel's inside was to be; an offset of the camera moves none."""


@dataclass(frozen=True)
class Kind:
    """A kind of subject: limit of a standing difference, prior wander, trifling change, unit."""

    name: str
    limit: float
    wander: float
    trifle: float
    unit: str


CAMERA = Kind("camera", CAMERA_LIMIT_K.value, WANDER_K, TRIFLE_K, "K")
INSPECTOR = Kind("inspector", CAMERA_LIMIT_K.value, WANDER_K, TRIFLE_K, "K")
OFFICE = Kind("office", CAMERA_LIMIT_K.value, WANDER_K, TRIFLE_K, "K")
MAKE = Kind("make", MAKE_LIMIT, MAKE_WANDER, MAKE_TRIFLE, "1")


@dataclass(frozen=True)
class Series:
    """The charts of one kind of subject with its level names and quarter numbers."""

    kind: Kind
    levels: tuple[str, ...]
    quarters: tuple[int, ...]
    means: Means
    followed: Followed

    def off(self) -> set[tuple[str, int]]:
        """Return the subject-quarters that no longer serve as a comparison."""
        at = np.argwhere(np.nan_to_num(self.followed.chance, nan=1.0) < OFF_CHANCE)
        return {(self.levels[i], self.quarters[q]) for i, q in at}


def offsets(frame: pd.DataFrame) -> Array:
    """Return what each inspection's readings are off together [K].

    Takes rows of `trends.inspection`. Two gauges of one offset: the readings with the panel's
    floor put back, which move with it in full but know little of how warm the panel's inside was,
    and the readings over their floor, which know it and move by the rest. Of both what was on and
    what sat in the panels is taken off; the mean of least variance is taken of the two.
    """
    y = frame["whole_k"].to_numpy(float)
    response = frame["part_response"].to_numpy(float)
    basis = _basis(frame)
    whole = _without_mix(basis, y)
    if len(y) < LEAST_FOR_TWO:
        return whole
    part = _without_mix(basis, frame["part_k"].to_numpy(float)) / response
    wide = [3 * 1.4826 * float(np.median(np.abs(one))) for one in (whole, part)]
    pair = np.stack([np.clip(whole, -wide[0], wide[0]), np.clip(part, -wide[1], wide[1])])
    spread = np.cov(pair) + 1e-6 * np.eye(2)
    weight = np.clip(np.linalg.solve(spread, np.ones(2)), 0.0, None)
    weight = weight / weight.sum() if weight.sum() > 0 else np.array([1.0, 0.0])
    result: Array = weight[0] * whole + weight[1] * part
    return result


def _basis(frame: pd.DataFrame) -> Array:
    """Return an orthonormal basis of what the mix can explain; of few inspections the mean alone.

    From the singular values, so that a column which says nothing new does no harm.
    """
    count = len(frame)
    terms = [frame[name] for name in MIX] if count >= 10 * len(MIX) else []
    x = np.column_stack([np.ones(count), *terms]).astype(float)
    left, size, _ = np.linalg.svd(x, full_matrices=False)
    kept: Array = left[:, size > np.finfo(float).eps * max(x.shape) * size[0]]
    return kept


def _without_mix(basis: Array, y: Array) -> Array:
    """Take the least-squares fit off, far-off inspections pulled in."""
    held = y.copy()
    for _ in range(3):
        fit = basis @ (basis.T @ held)
        gap = y - fit
        spread = 1.4826 * float(np.median(np.abs(gap)))
        held = fit + np.clip(gap, -2.5 * spread, 2.5 * spread)
    result: Array = y - fit
    return result


def series(
    kind: Kind,
    names: pd.Series,
    quarter: NDArray[np.int64],
    values: Array,
    quarters: tuple[int, ...],
) -> Series:
    """Return the charts of one kind from single inspections.

    Args: names of the subject, quarter numbers and values, shape (n,); quarters that hold any, in
    order.
    """
    levels, number = np.unique(names.to_numpy(str), return_inverse=True)
    at = np.searchsorted(np.array(quarters), quarter).astype(np.int64)
    means = quarter_means(values, number.astype(np.int64), at, (len(levels), len(quarters)))
    named = tuple(str(one) for one in levels)
    return Series(kind, named, quarters, means, follow(means, kind.wander, kind.trifle, quarters))


def with_air(inspections: pd.DataFrame, unread: set[tuple[str, int]]) -> pd.DataFrame:
    """Leave the inspectors and quarters out in which the air was hardly read."""
    keys = zip(inspections["inspector"], inspections["quarter_index"], strict=True)
    return inspections[np.array([key not in unread for key in keys], dtype=bool)]


def all_series(
    inspections: pd.DataFrame,
    makes: pd.DataFrame,
    unread: set[tuple[str, int]],
) -> list[Series]:
    """Return the charts of cameras, inspectors, offices and makes.

    Args: rows of `trends.inspection` and `trends.make_inspection`; unread, the inspectors and
    quarters in which the air was hardly read, left out: their rises tell of nothing else. A
    camera that is off is named as a camera, and its inspections are left out of the other kinds.
    Quarters that hold no inspection, a gap or a date misread by years, are passed over.
    """
    rows = with_air(inspections, unread)
    if not len(rows):
        return []
    value = offsets(rows)
    quarter = rows["quarter_index"].to_numpy(np.int64)
    held = {*quarter.tolist(), *makes["quarter_index"].astype(int).tolist()}
    quarters = tuple(sorted(held))
    found = [series(CAMERA, rows["camera"], quarter, value, quarters)]
    off = found[0].off()
    used = zip(rows["camera"], rows["quarter_index"], strict=True)
    is_on = np.array([key not in off for key in used], dtype=bool)
    for kind in (INSPECTOR, OFFICE) if is_on.any() else ():
        found.append(series(kind, rows[kind.name][is_on], quarter[is_on], value[is_on], quarters))
    if len(makes):
        at = makes["quarter_index"].to_numpy(np.int64)
        ratio = makes["ratio"].to_numpy(float)
        found.append(series(MAKE, makes["make"], at, ratio, quarters))
    return found


def points(one: Series) -> Iterator[Point]:
    """Yield the points of a kind's charts, quarter by quarter."""
    f = one.followed
    for q, number in enumerate(one.quarters):
        for i, name in enumerate(one.levels):
            if one.means.count[i, q]:
                yield Point(
                    subject=one.kind.name,
                    level_name=name,
                    quarter=quarter_name(number),
                    count=int(one.means.count[i, q]),
                    mean=float(one.means.mean[i, q]),
                    change=float(f.change[i, q]),
                    change_error=float(f.change_error[i, q]),
                    level=float(f.level[i, q]),
                    level_error=float(f.level_error[i, q]),
                    z=float(f.z[i, q]),
                    average=float(f.average[i, q]),
                    high=float(f.high[i, q]),
                    low=float(f.low[i, q]),
                    limit=float(CHART_LIMIT * np.hypot(f.change_error[i, q], f.wander[q])),
                    level_limit=one.kind.limit,
                    level_count=int(f.level_count[i, q]),
                    level_since=quarter_name(one.quarters[f.level_from[i, q]]),
                )


def trials(one: Series) -> Iterator[Trial]:
    """Yield what is tested of each subject and quarter: a change, and a standing difference."""
    for q in range(len(one.quarters)):
        for i, name in enumerate(one.levels):
            if name == UNNAMED:
                continue
            if np.isfinite(one.followed.z[i, q]):
                yield _change(one, i, q)
            if np.isfinite(one.followed.level[i, q]):
                yield _level(one, i, q)


def _change(one: Series, i: int, q: int) -> Trial:
    f = one.followed
    size, error = float(f.change[i, q]), float(f.change_error[i, q])
    measure = "heat" if one.kind is MAKE else "deviation"
    return _trial(one, i, q, measure, "its own past", (size, error), float(f.chance[i, q]))


def _level(one: Series, i: int, q: int) -> Trial:
    f = one.followed
    size, error = float(f.level[i, q]), float(f.level_error[i, q])
    is_make = one.kind is MAKE
    measure = "heat" if is_make else "deviation"
    beyond = ((size if is_make else abs(size)) - one.kind.limit) / error
    chance = float(ndtr(-beyond) if is_make else min(1.0, 2 * ndtr(-beyond)))
    return _trial(one, i, q, measure, "the others", (size, error), chance)


def _trial(
    one: Series, i: int, q: int, measure: str, against: str, size: tuple[float, float], p: float
) -> Trial:
    is_past, f = against == "its own past", one.followed
    start = one.quarters[int((f.started if is_past else f.level_from)[i, q])]
    number = one.quarters[q]
    return Trial(
        subject=one.kind.name,
        level_name=one.levels[i],
        quarter=quarter_name(number),
        measure=measure,
        against=against,
        size=size[0],
        low=size[0] - Z95 * size[1],
        high=size[0] + Z95 * size[1],
        unit=one.kind.unit,
        count=int((one.means.count if is_past else f.level_count)[i, q]),
        counted="inspections",
        chance=p,
        since=quarter_name(start),
    )
