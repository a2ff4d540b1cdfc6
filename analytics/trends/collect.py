"""Gathers the trends of a screened store: builds the small tables, follows every subject, tests."""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from analytics.errors import NotEnoughDataError, UsageError
from analytics.notices import Notice
from analytics.trends import beside, protocol, shares, subjects
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
    quarter_index,
    quarter_name,
)
from analytics.trends.signals import signals, with_users
from analytics.warehouse import Warehouse

if TYPE_CHECKING:
    import pandas as pd

UNREAD_CHANCE = 0.01
"""Chance below which an inspector's air temperatures count as not read [1]; chosen."""
FEW_QUARTERS = 3
"""Quarters below which a notice says that little can be told of trends [1]; chosen."""


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
    series = subjects.all_series(inspections, makes, _unread(habits))
    drift = [one for each in series for one in subjects.trials(each)]
    stood = list(beside.standings(warehouse.rows("trends.beside", span=beside.SPAN), clumping))
    since = warehouse.rows("trends.since", longest=shares.LONGEST, past=shares.PAST)
    moved = _moved(cells, clumping)
    trials = [
        *(one for number, found in moved.items() for one in shares.move_trials(number, found)),
        *with_users(drift, _users(inspections)),
        *shares.since_trials(since, clumping),
        *(one for _, one in stood if one is not None),
        *habits,
    ]
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
        signals=signals(trials, _used(inspections), unit),
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


def _used(inspections: pd.DataFrame) -> dict[tuple[str, str, str], float]:
    """Return the share of an inspector's inspections with each camera, by quarter [1]."""
    own = ["inspector", "quarter_index"]
    count = (
        inspections.groupby(["inspector", "camera", "quarter_index"]).size().reset_index(name="n")
    )
    share = count["n"] / count.groupby(own)["n"].transform("sum")
    names = zip(count["inspector"], count["camera"], count["quarter_index"], share, strict=True)
    return {(str(i), str(c), quarter_name(int(q))): float(s) for i, c, q, s in names}


def _users(inspections: pd.DataFrame) -> dict[tuple[str, str], str]:
    """Return who mostly used a camera in a quarter: the thermometer goes with the person."""
    grouped = inspections.groupby(["camera", "quarter_index"])["inspector"]
    found = {}
    for (camera, number), names in grouped:
        most = names.value_counts(sort=False).sort_index()
        who, count = str(most.idxmax()), int(most.max())
        found[str(camera), quarter_name(int(number))] = (
            f"{who} used it in {count} of {len(names)} inspections, so the thermometer for the "
            "air is to be checked too"
        )
    return found


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
        notices.append(
            Notice(
                "few_quarters",
                f"Only {len(held)} quarter{'s' if len(held) != 1 else ''} up to "
                f"{quarter_name(last)}: a change needs three or more to show.",
                {"quarter_count": len(held)},
            )
        )
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
