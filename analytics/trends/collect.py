"""Gathers the trends of a screened store: builds the small tables, follows every subject, tests."""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from analytics.errors import NotEnoughDataError, UsageError
from analytics.notices import Notice
from analytics.trends import beside, protocol, shares, sources, subjects
from analytics.trends.pairs import pairs
from analytics.trends.records import (
    Move,
    Pairs,
    Protocol,
    Referral,
    Signal,
    Standing,
    Trends,
    Trial,
    Use,
    quarter_index,
    quarter_name,
)
from analytics.trends.signals import signals
from analytics.trends.users import uses
from analytics.warehouse import Warehouse

UNREAD_CHANCE = 0.01
"""Chance below which an inspector's air temperatures count as not read [1]; chosen."""
FEW_QUARTERS = shares.LEAST_PAST + 1
"""Quarters below which a notice says that no change of a share can be told [1]."""


@dataclass(frozen=True)
class Study:
    """All that was looked at in a store; tells the trends up to any quarter of it."""

    cells: dict[str, shares.Cells]
    clumping: dict[str, float]
    moves: dict[int, tuple[Move, ...]]
    series: list[subjects.Series]
    standings: list[Standing]
    protocols: list[Protocol]
    pairs: list[Pairs]
    referrals: list[Referral]
    trials: list[Trial]
    signals: list[Signal]
    uses: list[Use]
    level_counts: sources.Counts
    is_current: bool

    @property
    def numbers(self) -> list[int]:
        """The numbers of the quarters that hold judged readings, in order."""
        return sorted({number for by in self.cells["flagged"].values() for number in by})

    def upto(self, quarter: str = "") -> Trends:
        """Return the trends up to a quarter such as 2026Q3, by default the last.

        Raises UsageError for what is no quarter.
        """
        last = quarter_index(_checked(quarter)) if quarter else self.numbers[-1]
        name = quarter_name(last)
        quarters = shares.quarter_shares(self.cells, self.clumping)
        return Trends(
            quarter=name,
            quarters=tuple(one for one in quarters if one.quarter <= name),
            moves=self.moves.get(last, ()),
            points=tuple(p for s in self.series for p in subjects.points(s) if p.quarter <= name),
            standings=beside.shown([o for o in self.standings if o.quarter == name]),
            pairs=tuple(one for one in self.pairs if one.quarter <= name),
            protocols=tuple(one for one in self.protocols if one.quarter <= name),
            habits=tuple(protocol.habit_shares(self.protocols, name)),
            referrals=tuple(one for one in self.referrals if one.quarter <= name),
            signals=tuple(one for one in self.signals if one.quarter <= name),
            tested_count=sum(one.quarter == name for one in self.trials),
            notices=_notices(self.numbers, last, self.is_current),
            uses=tuple(one for one in self.uses if one.quarter == name),
            sources=tuple(
                sources.sources(
                    self.level_counts, last, [one for one in self.signals if one.quarter == name]
                )
            ),
        )


def _checked(quarter: str) -> str:
    if not re.fullmatch(r"[12]\d{3}Q[1-4]", quarter):
        raise UsageError(f"“{quarter}” is no quarter.", "Write it as 2026Q3.")
    return quarter


def collect(warehouse: Warehouse, quarter: str = "", unit: str = "degF") -> Trends:
    """Gather the trends of a screened store up to a quarter such as 2026Q3, by default the last.

    Every quarter's signals rest on what was known up to it. `unit`, degF or degC, holds for the
    differences in sentences. Raises UsageError for what is no quarter, NotEnoughDataError where
    nothing was screened yet.
    """
    if quarter:
        _checked(quarter)
    return study(warehouse, unit).upto(quarter)


def study(warehouse: Warehouse, unit: str = "degF") -> Study:
    """Look at all quarters of a screened store once; arguments and errors as `collect`."""
    if not warehouse.has_table("screening.result"):
        raise NotEnoughDataError(
            "No reading in this store has been judged yet.", "Run loadrise fit, then screen."
        )
    warehouse.build("trends.reading")
    return _look(warehouse, unit)


def gather(warehouse: Warehouse, quarter: str = "", unit: str = "degF") -> Trends:
    """Gather the trends from `trends.reading` as it stands; arguments and errors as `collect`."""
    return _look(warehouse, unit).upto(quarter)


def _look(warehouse: Warehouse, unit: str) -> Study:
    warehouse.build("trends.cell")
    cells = _firm_cells(warehouse)
    if not cells["flagged"]:
        raise NotEnoughDataError("No reading in this store could be judged.", "Clamp more devices.")
    clumping = dict(zip(shares.MEASURES, warehouse.row("trends.clumping"), strict=True))
    protocols = _protocols(warehouse)
    habits = list(protocol.protocol_trials(protocols))
    inspections = warehouse.frame("trends.inspection")
    makes = warehouse.frame("trends.make_inspection")
    unread = _unread(habits)
    series = subjects.all_series(inspections, makes, unread)
    drift = [one for each in series for one in subjects.trials(each)]
    stood = list(beside.standings(warehouse.rows("trends.beside", span=beside.SPAN), clumping))
    since = warehouse.rows("trends.since", longest=shares.LONGEST, past=shares.PAST)
    moved = _moved(cells, clumping)
    trials = [
        *(one for number, found in moved.items() for one in shares.move_trials(number, found)),
        *drift,
        *shares.since_trials(since, clumping),
        *(one for _, one in stood if one is not None),
        *habits,
    ]
    used = list(uses(subjects.with_air(inspections, unread)))
    versions = warehouse.rows("marts.trend_version")
    return Study(
        cells=cells,
        clumping=clumping,
        moves=moved,
        series=series,
        standings=[one for one, _ in stood],
        protocols=protocols,
        pairs=list(pairs(warehouse.frame("trends.pair"))),
        referrals=_referrals(warehouse),
        trials=trials,
        signals=signals(trials, used, unit),
        uses=used,
        level_counts=sources.counts(warehouse.rows("trends.level_count")),
        is_current=not versions or bool(versions[0][0]),
    )


def _moved(
    cells: dict[str, shares.Cells], clumping: dict[str, float]
) -> dict[int, tuple[Move, ...]]:
    """Return the moves of the firm's shares by the number of every quarter with judged readings."""
    numbers = sorted({number for by in cells["flagged"].values() for number in by})
    return {number: shares.moves(cells, number, clumping) for number in numbers}


def _unread(habits: list[Trial]) -> set[tuple[str, int]]:
    """Return the inspectors and quarters in which the air was hardly read."""
    return {
        (one.level_name, quarter_index(one.quarter))
        for one in habits
        if one.measure == "ambient" and one.chance < UNREAD_CHANCE
    }


def _firm_cells(warehouse: Warehouse) -> dict[str, shares.Cells]:
    """Return measure -> kind of case -> quarter number -> judged readings and hits of the firm."""
    cells: dict[str, shares.Cells] = {measure: defaultdict(dict) for measure in shares.MEASURES}
    for measure, stratum, number, *two in warehouse.rows("trends.firm_cell"):
        cells[measure][stratum][number] = np.array(two, dtype=float)
    return cells


def _protocols(warehouse: Warehouse) -> list[Protocol]:
    rows = warehouse.rows(
        "marts.trend_protocol",
        warm_k=protocol.WARM_K,
        settled_minutes=protocol.SETTLED_MINUTES,
    )
    return [Protocol(row[0], quarter_name(row[1]), *row[2:]) for row in rows]


def _referrals(warehouse: Warehouse) -> list[Referral]:
    rows = warehouse.rows("marts.trend_referral")
    return [Referral(quarter_name(row[0]), *row[1:]) for row in rows]


def _notices(numbers: list[int], last: int, is_current: bool) -> tuple[Notice, ...]:
    held = [number for number in numbers if number <= last]
    notices = []
    if len(held) < FEW_QUARTERS:
        notices.append(_few(held, last))
    if last not in numbers:
        notices.append(
            Notice("no_readings", f"No reading of {quarter_name(last)} could be judged.", {})
        )
    if not is_current:
        notices.append(
            Notice(
                "newer_baseline",
                "The baseline was fitted anew since the last screening: run loadrise screen.",
                {},
            )
        )
    return tuple(notices)


def _few(held: list[int], last: int) -> Notice:
    """Say what cannot be told yet for want of quarters."""
    if len(held) < 2:
        told = f"{quarter_name(last)} is the first quarter: there is none to compare it with yet."
    else:
        told = (
            f"Only {len(held)} quarters up to {quarter_name(last)}: a lasting change of a share is "
            f"told from {FEW_QUARTERS} on."
        )
    return Notice("few_quarters", told, {"quarter_count": len(held)})
