"""Invented tables of examined devices for the choice between policies, by class of device.

Every class has 200 readings that are flagged from a chance of 0.3, 600 only from 0.1, 2,400 from
0.01. Three quarters of the first are faulty, one in a hundred of the last; how many in the middle
is each class's own: whether its line belongs at 0.3 or at 0.1 hangs on that alone.
"""

from __future__ import annotations

import numpy as np

from analytics.columns import DEVICE_CLASSES
from analytics.tuning.cells import Cells, Grid
from analytics.tuning.choice import Costs
from analytics.tuning.lines import Lines

GRID = Grid((0.01, 0.1, 0.3, 0.9), (1.3, 9.0), (2.0, 9.0), (0.0,))
STRICT, LOOSE = Lines((0.3, 1.3, 2.0, 0.0)), Lines((0.1, 1.3, 2.0, 0.0))
COSTS = Costs(300.0, 100.0)
"""A visit pays from a quarter of the devices faulty."""
COUNTS = (200, 600, 2400)
PANELS = 200
QUARTERS = 4


def fleet(middle: tuple[float, ...], seed: int, seen: float = 0.5) -> Cells:
    """Return classes with these shares of faulty devices in the middle [1].

    `seen` is the share examined of what the strict lines do not flag; of what they do, 0.7.
    """
    rng, rows = np.random.default_rng(seed), []
    for number, own in enumerate(middle):
        for place, (count, share) in enumerate(zip(COUNTS, (0.75, own, 0.01), strict=True)):
            panel, faulty = rng.integers(0, PANELS, count), rng.random(count) < share
            examined = rng.random(count) < (0.7 if place == 0 else seen)
            kinds = (np.ones(count), examined, examined & faulty)
            counts = np.stack([np.bincount(panel, one, PANELS) for one in kinds], axis=1)
            for one in np.flatnonzero(counts[:, 0]).tolist():
                rows.append((one, 3 * number + place, *counts[one]))
    return cells(np.array(rows, dtype=float).T, tuple(DEVICE_CLASSES)[: len(middle)])


def cells(rows: np.ndarray, names: tuple[str, ...]) -> Cells:
    """Return the cells of such classes, three each, with these rows."""
    size = len(names)
    return Cells(
        stratum=np.zeros(3 * size, np.int64),
        device_class=np.repeat(np.arange(size), 3).astype(np.int64),
        band=np.array([1, -2, -6] * size),
        is_flagged=np.array([True, False, False] * size),
        is_always=np.zeros(3 * size, bool),
        passed=np.array([[3, 1, 1, 1], [2, 1, 1, 1], [1, 1, 1, 1]] * size),
        strata=("",),
        classes=names,
        rows_panel=rows[0].astype(np.int64),
        rows_cell=rows[1].astype(np.int64),
        rows_count=rows[2],
        rows_examined=rows[3],
        rows_faulty=rows[4],
    )


def true_saving(middle: tuple[float, ...], now: np.ndarray, then: np.ndarray) -> float:
    """Return what flagging `then` truly saves a quarter against `now`, both of shape (cells,)."""
    shares = np.array([one for own in middle for one in (0.75, own, 0.01)])
    count = np.array(COUNTS * len(middle))
    missed, vain = COSTS.missed * count * shares, COSTS.visit * count * (1 - shares)
    each = np.where(now, vain, missed) - np.where(then, vain, missed)
    return float(each.sum()) / QUARTERS
