"""What each candidate policy catches, misses and wastes, corrected for who was examined."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from analytics.statistics.calibration import logistic
from analytics.statistics.sourced import Array, numbers
from analytics.statistics.verification import Corrected, Rate, Table, corrected
from analytics.tuning.cells import Bools, Cells, Ints

LEAST_EXAMINED = 10
"""Examined devices that a band of evidence needs to stand alone; fewer join the next lower band;
chosen: with ten, a share is known to about ± 30 points."""
PRIOR_WEIGHT = 1.0
"""Findings that the stated chance counts for in each band, in the recalibration; chosen small."""
POOLING = 10.0
"""Findings that the recalibrated chance counts for in each band of evidence, and the band's share
in each of its cells; chosen: those with fewer examined lean on it, those with more speak for
themselves."""


def merged_bands(cells: Cells) -> Ints:
    """Return the band of evidence of each cell, those of few examined devices joined, (cells,).

    Bands part the flagged and the rest, each from 0 for the most evidence: the more of it, the more
    often a fault, and perhaps the more often examined; so too where a policy came into force later
    than the findings. A side with fewer examined than a band needs is one band.
    """
    _, examined, _ = cells.totals()
    found = np.zeros(len(cells.band), np.int64)
    for side in (cells.is_flagged, ~cells.is_flagged):
        found[side] = joined(cells.band[side], examined[side])
    return found


def joined(band: Ints, examined: Array) -> Ints:
    """Return bands from the highest down, each joined by the next until enough were examined.

    Takes the band and how many were examined of each row, shape (n,); returns labels from 0.
    """
    merged, count, label = {}, 0.0, 0
    for one in sorted(set(band.tolist()), reverse=True):
        if count >= LEAST_EXAMINED:
            label, count = label + 1, 0.0
        merged[one] = label
        count += float(examined[band == one].sum())
    last = label - 1 if count < LEAST_EXAMINED and label else label
    return np.array([min(merged[one], last) for one in band.tolist()], dtype=np.int64)


def correct(cells: Cells, is_flagged: Bools) -> Corrected:
    """Return what a policy catches and what it flags in vain, corrected, over strata.

    `is_flagged`, shape (cells,), says what it flags. Strata are the cells' own, by whether the
    policy in force flags it too, and by evidence where the two agree.
    """
    count, examined, faulty = cells.totals()
    band = np.where(is_flagged != cells.is_flagged, -1, merged_bands(cells))
    key = np.unique(
        np.stack([cells.stratum, cells.is_flagged, band], axis=1), axis=0, return_inverse=True
    )[1]

    def side(mask: Bools) -> tuple[Array, Array, Array]:
        size = int(key.max()) + 1
        seen, bad, total = (
            numbers(np.bincount(key, np.where(mask, values, 0.0), size))
            for values in (examined, faulty, count)
        )
        return bad, seen - bad, total - seen

    return corrected(Table.of(side(is_flagged), side(~is_flagged)))


def fault_shares(cells: Cells, totals: tuple[Array, Array, Array]) -> Array:
    """Return the share of faulty devices in each cell [1], shape (cells,).

    The stated chance is recalibrated on the findings, those of the flagged and of the rest each
    standing for all of their kind; each band's own findings, flagged and not apart, are pooled with
    it, each class's within the band with the band's, and each cell's with its class's. What a band
    holds in all so does not depend on how finely lines are tried, nor on how many classes there
    are. A model, and better with few findings than the cells' own shares; the intervals of
    `correct` need none.
    """
    count, examined, faulty = totals
    band, kind = cells.band_key, cells.kind_key
    of_band = _pooled(band, _recalibrated(cells, totals), totals)
    of_kind = _held(band, _pooled(kind, of_band, totals), of_band, count)
    own = (faulty + POOLING * of_kind) / (examined + POOLING)
    return np.minimum(_held(kind, own, of_kind, count), 1.0)


def _pooled(key: Ints, chance: Array, totals: tuple[Array, Array, Array]) -> Array:
    """Return chances [1] scaled to what the findings of each group, pooled with them, come to."""
    count, examined, faulty = (_summed(key, one) for one in totals)
    modelled, held = _summed(key, totals[0] * chance), np.maximum(count, 1e-12)
    share = (faulty + POOLING * modelled / held) / (examined + POOLING)
    return chance * (share * held / np.maximum(modelled, 1e-12))[key]


def _held(key: Ints, chance: Array, former: Array, count: Array) -> Array:
    """Return chances [1] scaled so that each group holds as many faulty as by the former ones."""
    wanted, found = (_summed(key, count * one) for one in (former, chance))
    return chance * (wanted / np.maximum(found, 1e-12))[key]


def _summed(key: Ints, values: Array) -> Array:
    return numbers(np.bincount(key, values))


def _independent(columns: list[Array]) -> Array:
    """Return the columns that are no mixture of those before them, side by side."""
    design = columns[0][:, None]
    for column in columns[1:]:
        wider = np.column_stack([design, column])
        if np.linalg.matrix_rank(wider) == wider.shape[1]:
            design = wider
    return design


def _recalibrated(cells: Cells, totals: tuple[Array, Array, Array]) -> Array:
    """Fit the logit of a fault on the stated logit; the stated chance is a weak finding itself.

    Cells of one band, flagged and not apart, are fitted as one: their design is the same.
    """
    key = cells.band_key
    first = np.unique(key, return_index=True)[1]
    middle, is_flagged = numbers(cells.band[first] + 0.5), cells.is_flagged[first]
    count, examined, faulty = (_summed(key, one) for one in totals)
    design = _independent([np.ones_like(middle), middle, is_flagged.astype(np.float64)])
    stands_for = np.zeros(len(middle))
    for mask in (is_flagged, ~is_flagged):
        seen = examined[mask].sum()
        stands_for[mask] = count[mask].sum() / seen if seen else 0.0
    weight = examined * stands_for / max(float(np.sum(examined * stands_for)), 1e-9)
    weight *= float(examined.sum())
    share = np.divide(faulty, examined, out=np.zeros_like(faulty), where=examined > 0)
    known = weight > 0
    fit = logistic(
        np.concatenate([design[known], design]),
        np.concatenate([share[known], 1 / (1 + np.exp(-middle))]),
        np.concatenate([weight[known], np.full(len(design), PRIOR_WEIGHT)]),
    )
    return numbers(fit.chances(design))[key]


def around(rate: Rate, value: float) -> Rate:
    """Return the interval of `rate` about a modelled value, widened to hold it."""
    return replace(rate, value=value, low=min(rate.low, value), high=max(rate.high, value))
