"""Shares flagged and overloaded: the firm over time, and subjects beside each other."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaincinv

from analytics.errors import NotEnoughDataError
from analytics.statistics.charts import share_chart
from analytics.statistics.funnel import tail_chance
from analytics.statistics.multiplicity import benjamini_hochberg
from analytics.statistics.proportions import wilson
from analytics.statistics.stratified import Change, mantel_haenszel, room, trend
from analytics.trends.records import (
    Counted,
    Move,
    QuarterShare,
    Trial,
    quarter_name,
)

Array = NDArray[np.float64]
Cells = dict[str, dict[int, Array]]
"""Kind of case -> quarter number -> judged readings and hits."""

MEASURES = ("flagged", "overload")


class Found(NamedTuple):
    """What was found and what was to be expected: a row of a query, in the order of its columns."""

    judged: int
    hits: int
    expected: float
    spread: float
    """Variance of the expectation [1]."""
    left_out: int = 0
    """Hits of kinds of case without like ones to compare with [1]."""


LONGEST = 3
"""Longest late span [quarters]; chosen: a rise by half is to be found within three."""
PAST = 12
"""Quarters that count as earlier [1]; chosen: three years."""
LEAST_PAST = 3
"""Earlier quarters without which nothing is called a change [1]; chosen."""
LEAST_ROOM = 5.0
"""Cases that a test of two quarters needs room for either way [1]: Mantel and Fleiss 1980."""
LEAST_EXPECTED = 1.0
"""Cases to be expected without which a group is not tested [1]; chosen."""
SPAN_LOOKS = 2.4
"""Independent looks that three nested spans amount to [1]; counted on 20,000 invented firms."""


def quarter_shares(cells: dict[str, Cells], clumping: dict[str, float]) -> list[QuarterShare]:
    """Return each quarter's shares with Wilson intervals and the limits of the p-chart.

    Args: cells and clumping [1] by measure. The limits of a quarter come from the quarters before
    it; the first one has none.
    """
    numbers = sorted({number for by in cells["flagged"].values() for number in by})
    parts = {m: _counted(_sums(cells[m], numbers), clumping[m]) for m in MEASURES}
    return [
        QuarterShare(
            quarter_name(number),
            parts["flagged"][i].total,
            parts["flagged"][i],
            parts["overload"][i],
        )
        for i, number in enumerate(numbers)
    ]


def _sums(cells: Cells, numbers: list[int]) -> Array:
    """Return judged readings and hits of each quarter, shape (quarters, 2)."""
    whole = [[by[n] for by in cells.values() if n in by] for n in numbers]
    return np.array([np.sum(rows, axis=0) for rows in whole], dtype=float).reshape(-1, 2)


def _counted(table: Array, clumping: float) -> list[Counted]:
    total, hits = table[:, 0], table[:, 1]
    low, high = wilson(hits, total)
    found = []
    for i in range(len(total)):
        before = float(total[:i].sum())
        share = float(hits[:i].sum() / max(before, 1.0))
        ends = (float("nan"), float("nan"), False)
        if total[i] > 0 and before > 0:
            more = max(clumping, 1.0) * (1 + total[i] / before)
            chart = share_chart(hits[[i]], total[[i]], center=share, dispersion=more)
            ends = (float(chart.low[0]), float(chart.high[0]), bool(chart.is_out[0]))
        found.append(Counted(int(hits[i]), int(total[i]), float(low[i]), float(high[i]), *ends))
    return found


def moves(cells: dict[str, Cells], quarter: int, clumping: dict[str, float]) -> tuple[Move, ...]:
    """Return the changes of the firm's shares with the mix held, and the trend over all quarters.

    Args: cells by measure, the quarter's number, clumping [1] by measure. What cannot be told for
    want of cases is left out. Each carries a q-value for all that are tested (Benjamini and
    Hochberg): those with LEAST_PAST quarters before and cases for LEAST_ROOM.
    """
    earlier = {n for by in cells["flagged"].values() for n in by if n < quarter}
    found = list(_moves(cells, quarter, clumping))
    is_old = len(earlier) >= LEAST_PAST
    tested = [one.p_value if is_old and much >= LEAST_ROOM else np.nan for one, much in found]
    raised = benjamini_hochberg(tested) if found else np.array([])
    return tuple(replace(one, q_value=float(q)) for (one, _), q in zip(found, raised, strict=True))


def _moves(
    cells: dict[str, Cells], quarter: int, clumping: dict[str, float]
) -> Iterator[tuple[Move, float]]:
    """Yield each move with the room that its test has [cases]."""
    looks = (("the last quarter", 1), ("the same quarter last year", 4))
    for measure in MEASURES:
        more = max(clumping[measure], 1.0)
        for words, back in looks:
            now, then = (_column(cells[measure], one) for one in (quarter, quarter - back))
            with suppress(NotEnoughDataError):
                change = mantel_haenszel(*now, *then, dispersion=more)
                judged = now[1].sum() + then[1].sum()
                yield _move(measure, words, change, judged), room(*now, *then) / more
        numbers = sorted({n for by in cells[measure].values() for n in by if n <= quarter})
        grid = [_column(cells[measure], number) for number in numbers]
        if len(grid) > 2:
            hits, totals = (np.array([g[i] for g in grid]).T for i in range(2))
            with suppress(NotEnoughDataError):
                change = trend(hits, totals, np.array(numbers) - quarter, more)
                rare = min(hits.sum(), totals.sum() - hits.sum()) / 2
                words = "a quarter, over all quarters"
                yield _move(measure, words, change, totals.sum()), rare / more


def _column(cells: Cells, number: int) -> tuple[Array, Array]:
    rows = np.array([by.get(number, np.zeros(2)) for by in cells.values()], dtype=float)
    rows = rows.reshape(-1, 2)
    return rows[:, 1], rows[:, 0]


def _move(measure: str, words: str, change: Change, judged: float) -> Move:
    ends = change.difference, change.low, change.high, change.p_value
    return Move(measure, words, *ends, int(judged), change.p_value)


def move_trials(quarter: int, found: tuple[Move, ...]) -> Iterator[Trial]:
    """Yield the tested moves of a quarter as trials of the firm: signals name those that count."""
    for one in found:
        if np.isnan(one.q_value):
            continue
        yield Trial(
            "firm", "the whole firm", quarter_name(quarter), one.measure, one.against,
            one.difference, one.low, one.high, "points", one.judged_count, "judged readings",
            one.p_value, quarter_name(quarter), "moves",
        )  # fmt: skip


def since_trials(rows: list[tuple[Any, ...]], clumping: dict[str, float]) -> Iterator[Trial]:
    """Yield what is tested of firm, classes and offices against their own past.

    Takes rows of `trends.since`. Of the nested late spans the strongest speaks. A rise of the
    firm's flagged share is a test of its own, a fall none; all else is two-sided.
    """
    grouped: dict[tuple[int, str, str, str], list[tuple[int, Found]]] = {}
    for quarter, span, subject, measure, level, past, *found in rows:
        one = Found(*found)
        if past >= LEAST_PAST and one.expected >= LEAST_EXPECTED:
            grouped.setdefault((quarter, subject, measure, level), []).append((span, one))
    for (quarter, subject, measure, level), spans in sorted(grouped.items()):
        is_main = subject == "firm" and measure == "flagged"
        tried = [(*tails(one, clumping[measure]), span, one) for span, one in spans]
        chance, span, one = min(
            (
                (high if is_main else 2 * min(low, high), span, one)
                for low, high, span, one in tried
            ),
            key=lambda one: one[0],
        )
        yield ratio_trial(
            (subject, level, quarter, measure),
            one,
            clumping[measure],
            against="its own past",
            chance=min(1.0, SPAN_LOOKS * chance),
            since=quarter - span + 1,
            family="firm" if is_main else "shares",
        )


def tails(one: Found, clumping: float, between: float = 0.0) -> tuple[float, float]:
    """Chances of a count as low and as high, clumping and the expectation's spread counted in."""
    low, high = tail_chance(one.hits, one.expected, spread(one, clumping) + between)
    return float(low), float(high)


def spread(one: Found, clumping: float) -> float:
    """Variance of the logarithm of a steady rate from clumping and the expectation's own [1]."""
    return one.spread / one.expected**2 + max(clumping - 1.0, 0.0) / one.expected


def ratio_trial(
    who: tuple[str, str, int, str],
    one: Found,
    clumping: float,
    *,
    against: str,
    chance: float,
    since: int,
    family: str,
) -> Trial:
    """Return what is tested of a count against its expectation, with the ratio of both."""
    low, high = ratio_ends(one, clumping)
    subject, level, quarter, measure = who
    return Trial(
        subject, level, quarter_name(quarter), measure, against, one.hits / one.expected, low, high,
        "ratio", one.judged, "judged readings", chance, quarter_name(since), family,
        f"{one.hits} {one.expected:.1f} {one.left_out}",
    )  # fmt: skip


def ratio_ends(one: Found, clumping: float) -> tuple[float, float]:
    """Return the 95 % ends of the ratio: Poisson's, widened for clumping and the expectation."""
    if not one.expected > 0:
        return float("nan"), float("nan")
    hits = max(one.hits, 0.5)
    middle = hits / one.expected
    wide = float(np.sqrt(max(clumping, 1.0) + hits * one.spread / one.expected**2))
    low = float(gammaincinv(one.hits, 0.025)) / one.expected if one.hits else 0.0
    high = float(gammaincinv(one.hits + 1, 0.975)) / one.expected
    return middle * (low / middle) ** wide, middle * (high / middle) ** wide
