"""The examined readings, each weighed by how many of its kind it stands for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from analytics.policy import Policy
from analytics.statistics.sourced import Array, numbers
from analytics.tuning.bands import Bools, Ints, joined
from analytics.warehouse import Warehouse

if TYPE_CHECKING:
    import pandas as pd

MOST_LOGIT = 7.0
"""Log odds beyond which a taught chance counts as at the end [1]: the last bands of evidence;
chosen: a few overlooked faults with chances of near 1 would else draw the whole line."""


@dataclass(frozen=True)
class Examined:
    """Examined readings, each array of shape (n,).

    `logit` are the log odds as the fleet teaches them, cut at the ends; `weight` is how many
    readings of its band of evidence, flagged or not, a row stands for [1]; `line` is intercept
    and slope by which the chances are stated now.
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
    """Read them from `tuning.candidate`, judged by `policy`; kinds with few examined are joined."""
    intercept, slope = policy.calibration_intercept, policy.calibration_slope
    frame = warehouse.frame("tuning.examined")
    names, panel = np.unique(frame["panel_id"].to_numpy(dtype=str), return_inverse=True)
    flagged = frame["is_flagged"].to_numpy(np.bool_)
    taught = (frame["score"].to_numpy(np.float64) - intercept) / slope
    return Examined(
        logit=numbers(np.clip(taught, -MOST_LOGIT, MOST_LOGIT)),
        is_fault=frame["is_fault"].to_numpy(np.bool_),
        is_flagged=flagged,
        weight=_weights(warehouse, frame),
        panel=panel.astype(np.int64),
        panel_names=tuple(names.tolist()),
        line=(intercept, slope),
    )


def _weights(warehouse: Warehouse, frame: pd.DataFrame) -> Array:
    """Return readings over examined of the kind of each row: band of evidence, flagged or not.

    Loads are not parted: the fit holds the evidence itself, and their weights would only scatter.
    """
    columns = ["reading_count", "examined_count"]
    counts = warehouse.frame("tuning.reliability").groupby(_KIND, as_index=False)[columns].sum()
    flagged = counts["is_flagged"].to_numpy(np.bool_)
    band, label = counts["evidence_band"].to_numpy(np.int64), np.zeros(len(counts), np.int64)
    seen = counts["examined_count"].to_numpy(np.float64)
    for side in (flagged, ~flagged):
        label[side] = joined(band[side], seen[side])
    kind = 2 * label + flagged
    total = np.bincount(kind, counts["reading_count"].to_numpy(np.float64))
    stands_for = (total / np.maximum(np.bincount(kind, seen), 1.0))[kind]
    kinds = counts[_KIND].assign(weight=stands_for)
    return frame[_KIND].merge(kinds, on=_KIND, how="left")["weight"].to_numpy(np.float64)


_KIND = ["evidence_band", "is_flagged"]
