"""Where a change of the firm's share comes from: what each class and office adds to the counts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import fsum
from typing import Any

from analytics.trends.records import PAST, Signal, Source, quarter_index
from analytics.trends.shares import PAST as EARLIER

Cell = tuple[int, str, int, int]
"""Quarter number, kind of case, judged readings, hits."""
Counts = dict[tuple[str, str, str], list[Cell]]
"""(subject, level, measure) -> its cells."""

LAST_QUARTER = "the last quarter"
MOST_SHARE = 2 / 3
"""Share of a difference that the levels which are named account for [1]; chosen: most of it."""
MOST_NAMED = 3
"""Levels named at most [1]; chosen: a sentence holds no more."""


def counts(rows: Iterable[tuple[Any, ...]]) -> Counts:
    """Return rows of `trends.level_count` by level and measure."""
    held: Counts = {}
    for subject, level, measure, kind, number, judged, hits in rows:
        held.setdefault((subject, level, measure), []).append((number, kind, judged, hits))
    return held


def sources(held: Counts, quarter: int, signals: Iterable[Signal]) -> Iterator[Source]:
    """Yield what each class and office adds: against the last quarter, and to the firm's signals.

    A signal against the firm's own past is taken over its own span, and against the quarters that
    count as earlier.
    """
    spans: dict[tuple[str, str], tuple[range, range]] = {
        (measure, LAST_QUARTER): (range(quarter, quarter + 1), range(quarter - 1, quarter))
        for _, _, measure in held
    }
    for one in signals:
        if (one.subject, one.against) == ("firm", PAST):
            first = quarter_index(one.since)
            spans[one.measure, PAST] = range(first, quarter + 1), range(first - EARLIER, first)
    for (measure, against), (late, earlier) in sorted(spans.items(), key=lambda span: span[0]):
        for (subject, level, of), cells in held.items():
            now, then = _kinds(cells, late), _kinds(cells, earlier)
            if of == measure and (now or then):
                yield _source((measure, against, subject, level), now, then)


Kinds = dict[str, tuple[int, int]]


def _kinds(cells: Iterable[Cell], quarters: range) -> Kinds:
    """Return judged readings and hits by kind of case."""
    found: Kinds = {}
    for number, kind, judged, hits in cells:
        if number in quarters:
            own = found.get(kind, (0, 0))
            found[kind] = own[0] + judged, own[1] + hits
    return found


def _source(who: tuple[str, str, str, str], now: Kinds, then: Kinds) -> Source:
    like = {kind: (*now[kind], *then[kind]) for kind in now if kind in then}
    expected = fsum(judged * hits / total for judged, _, total, hits in like.values())
    return Source(
        *who,
        hit_count=sum(hits for _, hits in now.values()),
        judged_count=sum(judged for judged, _ in now.values()),
        earlier_hit_count=sum(hits for _, hits in then.values()),
        earlier_judged_count=sum(judged for judged, _ in then.values()),
        expected=expected,
        difference=sum(own for _, own, _, _ in like.values()) - expected,
    )


def telling(rows: Sequence[Source]) -> list[Source]:
    """Return the levels that account for most of a difference, the one with the most first.

    None where no few do, as where the levels' own differences cancel out.
    """
    whole = fsum(one.difference for one in rows)
    own = sorted(rows, key=lambda one: (-one.difference * whole, one.level_name))
    named: list[Source] = []
    for one in own[:MOST_NAMED]:
        if one.difference * whole <= 0:
            break
        named.append(one)
        if abs(fsum(each.difference for each in named)) >= MOST_SHARE * abs(whole):
            return named
    return []
