"""How well a score ranks the faults first."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

SHARES = (0.01, 0.02, 0.05)
"""Shares of the readings that a firm may look at [1]; chosen."""


def _filled(score: Any) -> NDArray[np.float64]:
    """Return the scores; a missing one ranks below every given one."""
    values = np.asarray(score, dtype=float)
    finite = np.isfinite(values)
    return np.where(finite, values, values[finite].min() - 1.0 if finite.any() else 0.0)


def average_precision(is_true: Any, score: Any) -> float:
    """Return the average precision [1]; a missing score ranks below every given one."""
    from sklearn.metrics import average_precision_score

    label = np.asarray(is_true, dtype=bool)
    return float(average_precision_score(label, _filled(score))) if label.any() else float("nan")


def hits(is_true: Any, score: Any, share: float) -> float:
    """Return how many are true among that share [1] of the highest scores.

    Where equal scores lie across the edge it is the mean over every order of them.
    """
    values, label = _filled(score), np.asarray(is_true, dtype=bool)
    count = max(1, round(share * values.size))
    edge = np.partition(values, -count)[-count]
    above, level = values > edge, values == edge
    return float(label[above].sum() + (count - above.sum()) * label[level].mean())


def measures(is_true: Any, score: Any) -> dict[str, float]:
    """Return average precision, and precision and recall at each of `SHARES` [1]."""
    label = np.asarray(is_true, dtype=bool)
    found = {"average_precision": average_precision(label, score)}
    for share in SHARES:
        true, count = hits(label, score, share), max(1, round(share * label.size))
        found[f"precision_{share:.0%}"] = true / count
        found[f"recall_{share:.0%}"] = true / label.sum() if label.any() else float("nan")
    return found
