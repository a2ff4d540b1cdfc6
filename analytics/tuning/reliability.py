"""Stated chances against what was found: by band, Brier's score with its parts, the slope."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from analytics.statistics.calibration import BrierParts, brier_parts, isotonic
from analytics.statistics.few_events import share_limits
from analytics.statistics.sourced import Array
from analytics.tuning.bands import split
from analytics.warehouse import Warehouse


@dataclass(frozen=True)
class Band:
    """One band of stated chance: found share with its 95 % interval and the rising fit, all [1]."""

    stated: float
    found: float
    low: float
    high: float
    rising: float
    examined: int
    readings: int


@dataclass(frozen=True)
class Reliability:
    """Bands, Brier's parts and the slope of found on stated logits; 1 is calibrated, None no fit.

    The examined stand for all readings of their band and load, flagged and not flagged apart.
    """

    bands: tuple[Band, ...]
    parts: BrierParts
    slope: float | None

    def lines(self) -> list[str]:
        """Return it in plain words, a line a band."""
        one = self.parts
        head = (
            f"{self.sentence} Brier's score {one.score:.4f} = reliability {one.reliability:.4f} - "
            f"resolution {one.resolution:.4f} + uncertainty {one.uncertainty:.4f}."
        )
        return [head, *(_words(band) for band in self.bands)]

    @property
    def sentence(self) -> str:
        """How stated chances come out, in plain words."""
        low = [band for band in self.bands if band.stated < band.low]
        high = [band for band in self.bands if band.stated > band.high]
        told = [_off(band, word) for band, word in ((low, "low"), (high, "high")) if band]
        rest = "the others agree with what was found" if told else "agree with what was found"
        head = f"Stated chances {'; '.join([*told, rest])}, as far as the findings tell."
        return f"{head} {self._slope_words()}"

    def _slope_words(self) -> str:
        if self.slope is None:
            return "How far apart they should lie cannot be told."
        if self.slope < 1:
            more = "stated chances lie further apart than what was found"
        else:
            more = "stated chances lie closer together than what was found"
        return f"Slope {self.slope:.2f} of found on stated log odds, where 1 is right: {more}."


def reliability(warehouse: Warehouse, slope: float | None) -> Reliability | None:
    """Set stated chances against the findings of `tuning.candidate`; None without findings.

    `slope` is that of found on stated log odds, as `recalibration.stated_slope` fits it.
    """
    counts = _by_kind(warehouse)
    if not len(counts):
        return None
    band, count, examined, faulty, stated = counts.T
    share = faulty / examined
    levels, where = np.unique(band, return_inverse=True)
    totals = np.bincount(where, count)
    found = np.bincount(where, count * share) / totals
    said = np.bincount(where, count * stated) / totals
    seen = np.bincount(where, examined)
    rising = isotonic(found, totals)
    bands = tuple(
        Band(
            float(said[i]),
            float(found[i]),
            *share_limits(float(found[i] * seen[i]), float(seen[i])),
            float(rising[i]),
            int(seen[i]),
            int(totals[i]),
        )
        for i in range(len(levels))
    )
    parts = brier_parts(
        np.concatenate([stated, stated]),
        np.concatenate([np.ones_like(share), np.zeros_like(share)]),
        np.concatenate([count * share, count * (1 - share)]),
    )
    return Reliability(bands, parts, slope)


def _by_kind(warehouse: Warehouse) -> Array:
    """Return band, readings, examined, faulty and mean stated chance of each kind, shape (n, 5).

    A kind is a band of evidence, flagged or not, and of load, few examined joined; those of which
    none was examined are left out.
    """
    rows = warehouse.rows("tuning.reliability")
    table = np.array([[float(cell) for cell in row] for row in rows]).reshape(-1, 7)
    band, flagged, load, count, examined, faulty, stated = table.T
    side = (2 * (band - band.min(initial=0)) + flagged).astype(np.int64)
    kind = split(side, load.astype(np.int64), examined)
    total, seen, bad, said = (
        np.bincount(kind, values) for values in (count, examined, faulty, stated)
    )
    first = np.unique(kind, return_index=True)[1]
    found = np.stack([band[first], total, seen, bad, said / np.maximum(total, 1.0)], axis=1)
    return np.asarray(found[seen > 0])


def _off(bands: Sequence[Band], word: str) -> str:
    """Say which stated chances are too low or too high, by the largest of them."""
    last = bands[-1]
    span = f"{_percent(bands[0].stated)} to " if len(bands) > 1 else ""
    return (
        f"of about {span}{_percent(last.stated)} are too {word}: of about {_percent(last.stated)} "
        f"{_percent(last.found)} were found"
    )


def _percent(share: float) -> str:
    return f"{100 * share:.2g} %"


def _words(band: Band) -> str:
    return (
        f"  stated {100 * band.stated:6.2f} %: found {100 * band.found:6.2f} % "
        f"({100 * band.low:.2f} to {100 * band.high:.2f}), rising fit {100 * band.rising:.2f} %; "
        f"{band.examined:,} of {band.readings:,} examined"
    )
