"""From residuals to what healthy readings do: middles, spreads, tails and the share of faults."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from analytics.baseline.state import POLE_FAMILIES, Array
from analytics.statistics import mixture as mx
from analytics.statistics import pairing as pr
from analytics.warehouse import Warehouse

LOAD_BANDS = range(1, 8)
MIDDLE_ROWS = 40.0
"""Rows that the group's middle and quartiles count for in each load band [1]; chosen."""
TAIL_ROWS = 60.0
"""Rows that the group's tails count for in each load band [1]; chosen."""
GROUP_ROWS = 150.0
"""Rows that the channel's tails count for in each group [1]; chosen."""
COVERAGE = 0.95
"""Share of healthy readings inside the interval [1]; what the page and the pocket promise."""
WORKING_SHARE = 0.2
"""Load from which a reading teaches how often faults occur [1]; chosen: half of what NFPA 70B-2023
7.4.5 asks for; below it a fault shows in a few spreads at most."""


@dataclass
class Cell:
    """Healthy residuals of a group in a load band, in units of the modelled spread."""

    center: float
    scale: float
    lower: float = -1.96
    upper: float = 1.96


Cells = dict[tuple[int, int], Cell]
Quartiles = tuple[int, int, float, float]
"""Load band, readings, middle and scale of standardised residuals."""


def calibrate(warehouse: Warehouse, visit_variance: float, tuning: float) -> dict[str, mx.Mixture]:
    """Write `fitting.cell` and `fitting.mixture`; return the mixtures by pole family."""
    warehouse.build("fitting.laid")
    warehouse.drop("fitting.design")
    warehouse.build("fitting.residual", visit_variance=visit_variance, tuning=tuning)
    warehouse.drop("fitting.laid")
    cells = _middles(warehouse)
    _put_cells(warehouse, cells)
    mixtures = _mixtures(warehouse)
    _put_mixtures(warehouse, mixtures)
    _tails(warehouse, cells)
    _put_cells(warehouse, cells)
    return mixtures


def _groups(warehouse: Warehouse) -> dict[int, str]:
    return dict(warehouse.fetch("select group_id, channel from fitting.group_level order by all"))


def _middles(warehouse: Warehouse) -> Cells:
    rows = warehouse.rows("fitting.cell_quantile")
    channels = _groups(warehouse)
    by_group: dict[int, list[Quartiles]] = defaultdict(list)
    by_channel: dict[str, list[Quartiles]] = defaultdict(list)
    for group, band, count, low, middle, high in rows:
        quartiles = (band, count, middle, (high - low) / 1.349)
        by_group[group].append(quartiles)
        by_channel[channels[group]].append(quartiles)
    cells: Cells = {}
    for group, channel in channels.items():
        usual = _mean_scale(by_channel[channel], 1.0)
        cells |= _group_middles(group, by_group[group], usual)
    return cells


def _mean_scale(rows: list[Quartiles], usual: float) -> float:
    """Return the scale of all rows, `usual` counting for MIDDLE_ROWS."""
    weight = sum(count for _, count, _, _ in rows) + MIDDLE_ROWS
    return (sum(count * value for _, count, _, value in rows) + MIDDLE_ROWS * usual) / weight


def _group_middles(group: int, rows: list[Quartiles], usual: float) -> Cells:
    """Pool each load band's middle and scale towards the group's, that towards the channel's."""
    weight = sum(count for _, count, _, _ in rows) + MIDDLE_ROWS
    middle = sum(count * value for _, count, value, _ in rows) / weight
    scale = _mean_scale(rows, usual)
    own = {band: (count, m, s) for band, count, m, s in rows}
    cells: Cells = {}
    for band in LOAD_BANDS:
        count, m, s = own.get(band, (0, 0.0, 1.0))
        share = count / (count + MIDDLE_ROWS)
        cells[group, band] = Cell(
            share * m + (1 - share) * middle, max(share * s + (1 - share) * scale, 0.3)
        )
    return cells


def _put_cells(warehouse: Warehouse, cells: Cells) -> None:
    keys = sorted(cells)
    warehouse.put(
        "fitting.cell",
        {
            "group_id": [key[0] for key in keys],
            "load_band": [key[1] for key in keys],
            "center": [cells[key].center for key in keys],
            "scale": [cells[key].scale for key in keys],
            "lower": [cells[key].lower for key in keys],
            "upper": [cells[key].upper for key in keys],
        },
    )


def _mixtures(warehouse: Warehouse) -> dict[str, mx.Mixture]:
    rows = warehouse.rows("fitting.evidence_bin", working_share=WORKING_SHARE)
    found: dict[str, mx.Mixture] = {}
    for family in POLE_FAMILIES:  # those of one pole first: they show what faults alone do
        working, idle = (_bins(rows, family, is_working=w) for w in (True, False))
        found[family] = mx.fit(working, idle, faults=found.get("one_pole"))
    return found


def _bins(rows: list[tuple[Any, ...]], family: str, *, is_working: bool) -> mx.Bins:
    mine = [row[2:] for row in rows if row[0] == family and row[1] == is_working]
    table = np.array(mine, dtype=float).reshape(-1, 3)
    return mx.Bins((table[:, 0] + 0.5) / 10.0, 2.0 ** ((table[:, 1] + 0.5) / 4.0), table[:, 2])


def _put_mixtures(warehouse: Warehouse, mixtures: dict[str, mx.Mixture]) -> None:
    share, same = warehouse.row("fitting.channel_agreement")
    pairs, prior_pairs, prior_correlation = float(share), 40.0, 0.55
    own = float(np.sin(np.pi * (same - 0.5)))
    correlation = (pairs * own + prior_pairs * prior_correlation) / (pairs + prior_pairs)
    correlation = float(np.clip(correlation, 0.0, 0.95))
    pairing = _pairing(warehouse, mixtures["one_pole"], correlation)
    keys = [(family, is_working) for family in mixtures for is_working in (False, True)]
    freedom = [mixtures[f].freedom if w else mixtures[f].idle_freedom for f, w in keys]
    warehouse.put(
        "fitting.mixture",
        {
            "pole_family": [family for family, _ in keys],
            "is_working": [is_working for _, is_working in keys],
            "working_share": [WORKING_SHARE for _ in keys],
            "fault_share": [mixtures[f].fault_share for f, _ in keys],
            "freedom": freedom,
            "temper": [mx.TEMPER for _ in keys],
            "tail_scale": [mx.quartile_scale(one) for one in freedom],
            "ratios": [list(map(float, mx.RATIOS)) for _ in keys],
            "weights": [list(map(float, mixtures[f].odds_weights)) for f, _ in keys],
            "fault_weights": [list(map(float, _faults(mixtures, f))) for f, _ in keys],
            "channel_correlation": [correlation for _ in keys],
        }
        | {name: [value for _ in keys] for name, value in asdict(pairing).items()},
    )


def _pairing(warehouse: Warehouse, mixture: mx.Mixture, correlation: float) -> pr.Pairing:
    rows = warehouse.rows("fitting.channel_pair", least_z=pr.LEAST_Z, most_rows=pr.MOST_ROWS)
    table = np.array([row[1:] for row in rows], dtype=float).reshape(-1, 4)
    pairs = pr.Pairs(*(table.T / mx.quartile_scale(mixture.freedom)))
    return pr.learn(pairs, correlation, mixture.freedom, mx.RATIOS, mixture.odds_weights)


def _faults(mixtures: dict[str, mx.Mixture], family: str) -> Array:
    """Return the part of a family's prior odds of excess heat that faults make up, (27,).

    Devices of several poles are no likelier faulty than those of one: what they show more of is
    another leg that carries more than the clamped one.
    """
    one = mixtures["one_pole"]
    faults: Array = one.fault_share * one.ratio_shares / (1.0 - mixtures[family].fault_share)
    return np.minimum(mixtures[family].odds_weights, faults)


def _tails(warehouse: Warehouse, cells: Cells) -> None:
    """Set the healthy 95 % limits of every cell, tails pooled from channel to group to band."""
    channels = _groups(warehouse)
    table: dict[tuple[int, int], Array] = defaultdict(lambda: np.zeros(481))
    for group, band, position, _, healthy in warehouse.rows("fitting.healthy_bin"):
        table[group, band][position + 240] += healthy
    for channel in sorted(set(channels.values())):
        members = [g for g, c in channels.items() if c == channel]
        whole = _share(sum((table[g, b] for g in members for b in LOAD_BANDS), np.zeros(481)))
        for g in members:
            group = sum((table[g, b] for b in LOAD_BANDS), np.zeros(481)) + GROUP_ROWS * whole
            for b in LOAD_BANDS:
                _set_limits(cells[g, b], table[g, b] + TAIL_ROWS * _share(group))


def _share(histogram: Array) -> Array:
    total = histogram.sum()
    if total > 0:
        return np.asarray(histogram / total, dtype=float)
    z = (np.arange(481) - 239.5) / 20.0
    normal = np.exp(-0.5 * z**2)
    return np.asarray(normal / normal.sum(), dtype=float)


def _set_limits(cell: Cell, histogram: Array) -> None:
    """Read both tail quantiles off a histogram of twentieths, linear within a bin."""
    cumulative = np.concatenate([[0.0], np.cumsum(histogram)]) / histogram.sum()
    edges = (np.arange(482) - 240) / 20.0
    tail = (1.0 - COVERAGE) / 2.0
    low, high = np.interp([tail, 1.0 - tail], cumulative, edges)
    cell.lower = cell.center + cell.scale * float(low)
    cell.upper = cell.center + cell.scale * float(high)
