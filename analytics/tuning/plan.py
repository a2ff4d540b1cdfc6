"""Which devices that were not flagged to have examined, to learn most from each visit."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from analytics.columns import CLASS_WORDS, VERDICT_WORDS, slot_word
from analytics.tuning.cells import (
    Grid,
    build_candidates,
    build_findings,
    load_cells,
    screened_policy,
)
from analytics.tuning.estimate import fault_shares
from analytics.warehouse import Warehouse

FIRST_BAND, LAST_BAND = -7, 6
"""Bands of evidence: whole logits, open at both ends."""


@dataclass(frozen=True)
class Draw:
    """One device to examine; `drawn_share` is the chance it had of being drawn [1]."""

    reading_id: int
    inspection_id: str
    panel_id: str
    position: int
    inspected_at: dt.datetime
    office_id: str
    device_class: str
    verdict: str
    probability: float
    evidence_band: int
    drawn_share: float


@dataclass(frozen=True)
class Plan:
    """The devices drawn, and how many of each band of evidence: (band, open, drawn).

    `asked` is how many were asked for; fewer are drawn where no more are left.
    """

    draws: tuple[Draw, ...]
    bands: tuple[tuple[int, int, int], ...]
    asked: int

    def lines(self) -> list[str]:
        """Return the plan in plain words."""
        drawn = "drawn at random within their band of evidence"
        if len(self.draws) < self.asked:
            drawn = f"all that are left, fewer than the {self.asked:,} asked for"
        head = (
            f"{len(self.draws):,} devices that were not flagged, {drawn}. Have every one examined, "
            "whatever it looks like; a pick among them would put the shares off."
        )
        bands = [
            f"  chance {band_words(band)}: {drawn:,} of {count:,}"
            for band, count, drawn in self.bands
        ]
        rows = [
            f"  {one.inspection_id}, panel {one.panel_id}, slot {slot_word(one.position)}, "
            f"{one.inspected_at:%Y-%m-%d}, {one.office_id}, "
            f"{CLASS_WORDS.get(one.device_class, one.device_class)}: "
            f"{VERDICT_WORDS[one.verdict]}, chance {100 * one.probability:.1f} %"
            for one in self.draws
        ]
        return [head, *bands, "", *rows]


def plan(
    warehouse: Warehouse, visits: int, *, draw: int = 1, is_guess_accepted: bool = False
) -> Plan:
    """Draw `visits` devices that were neither flagged nor examined.

    Each next visit goes to the band of evidence where it takes most off the variance of the faults
    missed (J. Neyman, J. R. Stat. Soc. 97 (1934) 558). The same draw of the same store is the same.
    """
    policy = screened_policy(warehouse)
    build_findings(warehouse, is_guess_accepted=is_guess_accepted)
    build_candidates(warehouse, policy)
    takes = _takes(warehouse, Grid.around(policy), visits)
    pool = dict(warehouse.rows("tuning.band_pool"))
    bands = tuple(
        (band, int(pool.get(band, 0)), take)
        for band, take in zip(range(FIRST_BAND, LAST_BAND + 1), takes, strict=True)
        if take
    )
    rows = warehouse.rows("tuning.planned", takes=takes, draw=draw)
    return Plan(tuple(Draw(*row) for row in rows), bands, visits)


def _takes(warehouse: Warehouse, grid: Grid, visits: int) -> list[int]:
    """Return how many to draw of each band, from the first up."""
    cells = load_cells(warehouse, grid, ())
    count, examined, _ = cells.totals()
    share = fault_shares(cells, cells.totals())
    place, size = cells.band - FIRST_BAND, LAST_BAND - FIRST_BAND + 1
    clear = ~cells.is_flagged
    total, seen, faulty = (
        np.bincount(place[clear], values[clear], size)
        for values in (count, examined, count * share)
    )
    chance = np.divide(faulty, total, out=np.zeros(size), where=total > 0)
    variance = total**2 * chance * (1 - chance)
    pool = np.zeros(size)
    for band, open_count in warehouse.rows("tuning.band_pool"):
        pool[band - FIRST_BAND] = open_count
    takes = np.zeros(size)
    for _ in range(min(visits, int(pool.sum()))):
        have = seen + takes + 1
        gain = np.where(takes < pool, variance / (have * (have + 1)), -1.0)
        takes[int(np.argmax(gain))] += 1
    return [int(take) for take in takes]


def band_words(band: int) -> str:
    """Return the stated chances that a band of evidence holds, in per cent."""
    low, high = (100 / (1 + np.exp(-edge)) for edge in (band, band + 1))
    if band == FIRST_BAND:
        return f"under {high:.2g} %"
    return f"over {low:.2g} %" if band == LAST_BAND else f"{low:.2g} to {high:.2g} %"
