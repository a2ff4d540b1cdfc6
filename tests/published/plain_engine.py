"""Plain data sets laid out as the baseline's own design, so that its own fit runs on them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import pandas as pd

from analytics.baseline.likelihood import Components, fit
from analytics.settings import BaselineSettings, Held, Prior
from analytics.warehouse import Warehouse

PLAIN = BaselineSettings(
    tuning=np.inf,
    huber_tuning=np.inf,
    exponent=Prior(1.64, 1e6),
    exponent_bounds=(0.2, 8.0),
    tolerance=1e-8,
    prior_width=1e6,
    held=Held(),
)
"""No row weighed down, no prior, no effect but those a test asks for."""


@dataclass(frozen=True)
class Layout:
    """Which column of a plain data set plays which part; None leaves the part out.

    `slopes` are up to four regressors; `groups` get a line of their own each; visits lie within
    cameras, makes cross both.
    """

    visits: Iterable[object] | None = None
    cameras: Iterable[object] | None = None
    makes: Iterable[object] | None = None
    groups: Iterable[object] | None = None
    load: Iterable[float] | None = None
    slopes: tuple[Iterable[float], ...] = ()
    weights: Iterable[float] | float = 1.0


def _codes(values: Iterable[object] | None, rows: int) -> np.ndarray:
    if values is None:
        return np.ones(rows, dtype=np.int64)
    return np.asarray(pd.factorize(pd.Series(list(values)), sort=True)[0] + 1, dtype=np.int64)


def lay(store: Warehouse, response: Iterable[float], layout: Layout) -> None:
    """Write `fitting.design` and the level tables that the fit reads."""
    rise = np.asarray(list(response), dtype=float)
    rows = len(rise)
    load = np.zeros(rows) if layout.load is None else np.asarray(list(layout.load), dtype=float)
    slopes = [np.asarray(list(one), dtype=float) for one in layout.slopes]
    slopes += [np.zeros(rows)] * (4 - len(slopes))
    group = _codes(layout.groups, rows)
    codes = {
        "visit_id": _codes(layout.visits, rows),
        "make_id": _codes(layout.makes, rows),
        "camera_level_id": _codes(layout.cameras, rows),
    }
    store.build("fitting.shelter_level")
    kinds = np.unique(np.column_stack([group, codes["make_id"]]), axis=0)
    _put_kinds(store, kinds)
    kind = np.searchsorted(kinds @ [rows + 1, 1], group * (rows + 1) + codes["make_id"]) + 1
    named = zip(("floor_k", "neighbour_k", "across_k", "main_k"), slopes, strict=True)
    store.put(
        "fitting.design",
        {
            "reading_id": np.arange(1, rows + 1),
            "channel": ["face"] * rows,
            "kind_id": kind,
            "rating_id": np.ones(rows, dtype=np.int64),
            "channel_rise_k": rise,
            "load_fraction": load,
            "log_load": np.log(np.where(load > 0, load, 1.0)),
            "is_taught": [True] * rows,
            "is_telling": [True] * rows,
            "design_weight": np.broadcast_to(np.asarray(layout.weights, dtype=float), rows).copy(),
        }
        | codes
        | dict(named),
    )
    _put_levels(store, int(group.max()), {key: int(one.max()) for key, one in codes.items()})


CLASSES = ("standard", "main", "afci")
"""Names that groups of plain data go by."""


def _put_kinds(store: Warehouse, kinds: np.ndarray) -> None:
    """Write `fitting.kind` from pairs of group and make, (k, 2)."""
    count = len(kinds)
    store.put(
        "fitting.kind",
        {
            "kind_id": np.arange(1, count + 1),
            "channel": ["face"] * count,
            "group_id": kinds[:, 0],
            "make_id": kinds[:, 1],
            "rating_id": np.ones(count, dtype=np.int64),
            "shelter_id": np.ones(count, dtype=np.int64),
            "minute_band": np.zeros(count, dtype=np.int64),
        },
    )


def _put_levels(store: Warehouse, groups: int, counts: dict[str, int]) -> None:
    names = list(CLASSES[:groups])
    store.put("fitting.group_level", {"group_id": np.arange(1, groups + 1)} | _of(names))
    store.put("fitting.make_level", _levels("make_id", counts["make_id"]))
    store.put("fitting.rating_level", _levels("rating_id", 1))
    cameras = np.arange(1, counts["camera_level_id"] + 1)
    store.put("fitting.camera_level", {"camera_level_id": cameras})


def _levels(key: str, count: int) -> dict[str, object]:
    return {key: np.arange(1, count + 1)} | _of([CLASSES[0]] * count)


def _of(names: list[str]) -> dict[str, object]:
    count = len(names)
    return {
        "channel": ["face"] * count,
        "device_class": names,
        "is_multi_pole": [False] * count,
    }


def effects(store: Warehouse, table: str) -> np.ndarray:
    """Return the fitted offsets of visits, cameras or makes, in order of their levels."""
    key = {"visit": "visit_id", "camera": "camera_level_id", "make": "make_id"}[table]
    rows = store.fetch(f"select offset_k from fitting.{table}_effect order by {key}")
    return np.array([row[0] for row in rows])


def mixed(
    store: Warehouse,
    response: Iterable[float],
    layout: Layout,
    start: Held,
    *,
    is_scale_known: bool = False,
) -> tuple[np.ndarray, Components]:
    """Fit a plain mixed model; return the first group's coefficients (6,) and the components."""
    lay(store, response, layout)
    settings = BaselineSettings(**{**vars(PLAIN), "held": start})
    fitted, components = fit(store, settings, is_scale_known=is_scale_known)
    return fitted.groups.coefficients[0], components
