"""Devices read again at a later visit, and whether their heat for their current grew."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import stdtr, stdtrit

from analytics.statistics.multiplicity import benjamini_hochberg
from analytics.trends.records import Pairs, Worse, quarter_name

if TYPE_CHECKING:
    import pandas as pd

FALSE_SHARE = 0.05
"""Share of false ones among the devices named in a quarter [1]; chosen."""
FREEDOM = 4.0
"""Degrees of freedom of the tails of changes [1]; chosen: heavier than residuals' own."""
LEAST_CHANGE_K = 3.0
"""Change below which a device is not named [K]: what counts as material."""


def pairs(frame: pd.DataFrame) -> Iterator[Pairs]:
    """Yield the repeated readings of each quarter: mean change with its ends, and who grew worse.

    Takes rows of `trends.pair`. Changes are standardised by the spread of all changes; tails are
    those of a t law. Means by Student's interval over pairs, far-off changes pulled in.
    """
    if not len(frame):
        return
    z = frame["change_z"].to_numpy(float)
    spread = max(1.4826 * float(np.median(np.abs(z - np.median(z)))), 1e-6)
    beyond = (z - np.median(z)) / spread
    for number in sorted(frame["quarter_index"].unique()):
        here = (frame["quarter_index"] == number).to_numpy()
        yield _quarter(int(number), frame[here], beyond[here])


def _quarter(number: int, rows: pd.DataFrame, z: np.ndarray) -> Pairs:
    change = rows["change_k"].to_numpy(float)
    middle = np.median(change)
    spread = max(1.4826 * float(np.median(np.abs(change - middle))), 0.1)
    held = np.clip(change, middle - 3 * spread, middle + 3 * spread)
    count, mean = len(held), float(held.mean())
    half = float("nan")
    if count > 1:
        half = float(stdtrit(count - 1, 0.975) * held.std(ddof=1) / np.sqrt(count))
    shares = benjamini_hochberg(stdtr(FREEDOM, -z))
    is_worse = (shares <= FALSE_SHARE) & (change >= LEAST_CHANGE_K)
    named = [
        Worse(
            str(row.panel_id),
            int(row.position),
            str(row.device_class),
            int(row.days),
            float(row.change_k),
            float(share),
        )
        for row, share in zip(rows[is_worse].itertuples(), shares[is_worse], strict=True)
    ]
    named.sort(key=lambda one: (-one.change_k, one.panel_id, one.position))
    name = quarter_name(number)
    return Pairs(name, count, mean, mean - half, mean + half, tuple(named))
