"""The examined readings, each weighed by how many of its kind it stands for."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analytics.policy import Policy
from analytics.statistics.sourced import Array, numbers
from analytics.tuning.cells import Bools, Ints
from analytics.tuning.estimate import joined
from analytics.warehouse import Warehouse

MOST_LOGIT = 7.0
"""Log odds beyond which a taught chance counts as at the end [1]: the last bands of evidence;
chosen: a few overlooked faults with chances of near 1 would else draw the whole line."""


@dataclass(frozen=True)
class Examined:
    """Examined readings, each array of shape (n,).

    `logit` are the log odds as the fleet teaches them, cut at the ends; `weight` is how many
    readings of its band, flagged and not apart, a row stands for [1]; `line` is intercept and
    slope by which the chances are stated now.
    """

    logit: Array
    is_fault: Bools
    is_flagged: Bools
    weight: Array
    panel: Ints
    panel_names: tuple[str, ...]
    line: tuple[float, float] = (0.0, 1.0)

    @property
    def panel_count(self) -> int:
        """How many panels they lie in."""
        return len(self.panel_names)

    @property
    def clear_count(self) -> int:
        """How many of them were not flagged."""
        return int(np.sum(~self.is_flagged))


def load_examined(warehouse: Warehouse, policy: Policy) -> Examined:
    """Read them from `tuning.candidate`, judged by `policy`; bands with few examined are joined."""
    intercept, slope = policy.calibration_intercept, policy.calibration_slope
    frame = warehouse.frame("tuning.examined")
    names, panel = np.unique(frame["panel_id"].to_numpy(dtype=str), return_inverse=True)
    band = frame["evidence_band"].to_numpy(np.int64)
    flagged = frame["is_flagged"].to_numpy(np.bool_)
    taught = (frame["score"].to_numpy(np.float64) - intercept) / slope
    return Examined(
        logit=numbers(np.clip(taught, -MOST_LOGIT, MOST_LOGIT)),
        is_fault=frame["is_fault"].to_numpy(np.bool_),
        is_flagged=flagged,
        weight=_weights(warehouse, band, flagged),
        panel=panel.astype(np.int64),
        panel_names=tuple(names.tolist()),
        line=(intercept, slope),
    )


def _weights(warehouse: Warehouse, band: Ints, flagged: Bools) -> Array:
    """Return readings over examined in the joined band of each row, flagged and not apart."""
    rows = np.array([[float(cell) for cell in row[:4]] for row in warehouse.rows(_COUNTS)])
    weight = np.ones(len(band))
    for side in (True, False):
        part = rows[rows[:, 1] == side]
        if not part[:, 3].sum():
            continue
        label = joined(part[:, 0].astype(np.int64), part[:, 3])
        count, seen = np.bincount(label, part[:, 2]), np.bincount(label, part[:, 3])
        by_band = dict(zip(part[:, 0].astype(int).tolist(), label.tolist(), strict=True))
        mask = flagged == side
        places = np.array([by_band[one] for one in band[mask].tolist()], np.int64)
        weight[mask] = (count / np.maximum(seen, 1.0))[places]
    return weight


_COUNTS = "tuning.reliability"
