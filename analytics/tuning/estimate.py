"""What each candidate policy catches, misses and wastes, corrected for who was examined."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from analytics.statistics.calibration import logistic
from analytics.statistics.sourced import Array, numbers
from analytics.statistics.verification import Corrected, Rate, Table, corrected
from analytics.tuning.bands import Bools, Ints, joined_sides
from analytics.tuning.cells import Cells

PRIOR_WEIGHT = 1.0
"""Findings that the stated chance counts for in each band, in the recalibration; chosen small."""
POOLING = 10.0
"""Findings that the recalibrated chance counts for in each band of evidence and load, and the
band's share in each of its cells; chosen: those with fewer examined lean on it, those with more
speak for themselves."""


def correct(cells: Cells, is_flagged: Bools) -> Corrected:
    """Return what a policy catches and what it flags in vain, corrected, over strata.

    `is_flagged`, shape (cells,), says what it flags. Strata are the cells' own, by whether the
    policy in force flags it too, and by evidence and load where the two agree.
    """
    count, examined, faulty = cells.totals()
    kind = joined_sides(cells.is_flagged, cells.band, cells.load, examined)
    band = np.where(is_flagged != cells.is_flagged, -1, kind)
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

    The stated chance is recalibrated on the findings, each standing for all of its band of evidence
    and load, flagged and not apart; each band's own findings are pooled with it, each class's
    within the band with the band's, and each cell's with its class's. What a band holds in all so
    does not depend on how finely lines are tried, nor on how many classes there are. A model, and
    better with few findings than the cells' own shares; the intervals of `correct` need none.
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

    Cells of one band are fitted as one: their design is the same. Of what the stated chances count
    for, each band of evidence, flagged or not, has one finding, whatever its loads.
    """
    key = cells.band_key
    first = np.unique(key, return_index=True)[1]
    middle, is_flagged = numbers(cells.band[first] + 0.5), cells.is_flagged[first]
    count, examined, faulty = (_summed(key, one) for one in totals)
    same = (middle[:, None] == middle) & (is_flagged[:, None] == is_flagged)
    design = _independent([np.ones_like(middle), middle, is_flagged.astype(np.float64)])
    stands_for = np.divide(count, examined, out=np.zeros_like(count), where=examined > 0)
    weight = examined * stands_for / max(float(np.sum(examined * stands_for)), 1e-9)
    weight *= float(examined.sum())
    share = np.divide(faulty, examined, out=np.zeros_like(faulty), where=examined > 0)
    known = weight > 0
    fit = logistic(
        np.concatenate([design[known], design]),
        np.concatenate([share[known], 1 / (1 + np.exp(-middle))]),
        np.concatenate([weight[known], PRIOR_WEIGHT / same.sum(axis=1)]),
    )
    return numbers(fit.chances(design))[key]


def around(rate: Rate, value: float) -> Rate:
    """Return the interval of `rate` about a modelled value, widened to hold it."""
    return replace(rate, value=value, low=min(rate.low, value), high=max(rate.high, value))
