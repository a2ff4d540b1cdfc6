"""How completely each inspector takes a reading, beside the colleagues of the same quarter."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from analytics.statistics.funnel import dispersion
from analytics.statistics.proportions import difference, wilson
from analytics.trends.records import HabitShare, Protocol, Trial

WARM_K = 8.0
"""Rise over the panel's floor from which a device is to be clamped [K]; chosen: a hand feels it."""
SETTLED_MINUTES = 15.0
"""Minutes under load below which a reading is taken too early [min]; chosen: half a body's way."""
LEAST_TOTAL = 8
"""Cases an inspector needs in a quarter to be set beside the others [1]; chosen."""
MATERIAL_SHARE = 0.2
"""Difference of shares that is worth a word [1]; chosen: one visit in five."""
BETWEEN = 0.02
"""Prior variance between steady inspectors, on the arcsine scale [1]; chosen: habits differ by
about a quarter of a usual share."""
BETWEEN_LEVELS = 4.0
LEAST_OTHERS = 3
"""Colleagues without whom no habit is called unusual [1]; chosen."""


@dataclass(frozen=True)
class Habit:
    """One habit: its counts out of their totals, and whether more of it is worse."""

    measure: str
    hits: Callable[[Protocol], int]
    total: Callable[[Protocol], int]
    is_more_worse: bool


HABITS = (
    Habit("ambient", lambda p: p.same_ambient_count, lambda p: p.inspection_count, True),
    Habit("clamped", lambda p: p.warm_clamped_count, lambda p: p.warm_count, False),
    Habit("minutes", lambda p: p.minuted_count, lambda p: p.inspection_count, False),
    Habit("settled", lambda p: p.unsettled_count, lambda p: p.minuted_count, True),
)
"""The same ambient in most inspections was hardly read; warm devices are to be clamped; minutes
under load are to be noted, and waited for."""


def habit_shares(rows: list[Protocol], quarter: str) -> Iterator[HabitShare]:
    """Yield what share of cases each inspector kept each habit in, for one quarter."""
    own = [one for one in rows if one.quarter == quarter]
    for habit in HABITS:
        for row in own:
            hits, total = habit.hits(row), habit.total(row)
            if total:
                low, high = (float(x) for x in wilson(hits, total))
                yield HabitShare(habit.measure, row.inspector, quarter, hits, total, low, high)


def protocol_trials(rows: list[Protocol]) -> Iterator[Trial]:
    """Yield what is tested of each inspector's habits; a better habit than others' never counts."""
    by_quarter: dict[str, list[Protocol]] = {}
    for row in rows:
        if row.inspector != "not noted":
            by_quarter.setdefault(row.quarter, []).append(row)
    for quarter in sorted(by_quarter):
        for habit in HABITS:
            group = [one for one in by_quarter[quarter] if habit.total(one) >= LEAST_TOTAL]
            for row in group:
                others = [one for one in group if one is not row]
                if len(others) >= LEAST_OTHERS:
                    yield _trial(habit, row, others)


def _trial(habit: Habit, row: Protocol, others: list[Protocol]) -> Trial:
    hits, total = habit.hits(row), habit.total(row)
    other_hits = sum(habit.hits(one) for one in others)
    other_total = sum(habit.total(one) for one in others)
    size, low, high = (float(x) for x in difference(hits, total, other_hits, other_total))
    return Trial(
        subject="inspector",
        level_name=row.inspector,
        quarter=row.quarter,
        measure=habit.measure,
        against="the others",
        size=size,
        low=low,
        high=high,
        unit="share",
        count=total,
        counted="warm devices" if habit.measure == "clamped" else "inspections",
        chance=_chance(habit, row, others),
        since=row.quarter,
        family="protocol",
        detail=f"{hits:,} of {total:,}, others {other_hits:,} of {other_total:,}",
    )


def _chance(habit: Habit, row: Protocol, others: list[Protocol]) -> float:
    """One-sided chance that a colleague's habit is as much worse, a material share aside."""
    sign = 1.0 if habit.is_more_worse else -1.0
    share = habit.hits(row) / habit.total(row)
    totals = np.array([habit.total(one) for one in others], dtype=float)
    shares = np.array([habit.hits(one) for one in others], dtype=float) / totals
    whole = float((shares * totals).sum() / totals.sum())
    edge = float(np.clip(whole + sign * MATERIAL_SHARE, 0.0, 1.0))
    if sign * (share - edge) <= 0:
        return 1.0
    angles = np.arcsin(np.sqrt(shares))
    middle = float(np.median(angles))
    error = 0.5 / np.sqrt(totals)
    found = dispersion((angles - middle) / error, error).variance if len(others) > 1 else 0.0
    between = (len(others) * found + BETWEEN_LEVELS * BETWEEN) / (len(others) + BETWEEN_LEVELS)
    gap = abs(np.arcsin(np.sqrt(share)) - np.arcsin(np.sqrt(edge)))
    beyond = gap / np.sqrt(0.25 / habit.total(row) + 0.25 / totals.sum())
    unusual = abs(np.arcsin(np.sqrt(share)) - middle) / np.sqrt(0.25 / habit.total(row) + between)
    return float(max(ndtr(-beyond), ndtr(-unusual)))
