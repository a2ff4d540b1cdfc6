"""The signals of a quarter as the page tells them: which are new, which last, who is named."""

from __future__ import annotations

import math
from dataclasses import dataclass

from analytics.trends.records import OTHERS as OTHERS
from analytics.trends.records import PAST as PAST
from analytics.trends.records import Signal
from analytics.trends.report import age
from analytics.trends.sentences import in_words
from analytics.trends.shares import LEAST_PAST
from dashboards.pages import quarter_sources
from dashboards.quarter_records import QuarterRecord

HABITS = ("ambient", "clamped", "minutes", "settled")
MOST_BRIEF = 3
"""Subjects that the headline names at most [1]; chosen: a sentence holds no more."""


@dataclass(frozen=True)
class SignalLine:
    """A signal's sentence, and whether it is new or since when it holds."""

    tag: str
    sentence: str


def of_quarter(record: QuarterRecord, quarter: str = "") -> list[Signal]:
    """Return the signals of a quarter, by default the record's, new ones first."""
    if record.trends is None:
        return []
    here = [one for one in record.trends.signals if one.quarter == (quarter or record.quarter)]
    return sorted(here, key=lambda one: not one.is_new)


def lines(signals: list[Signal]) -> list[SignalLine]:
    """Return the signals as lines of a list."""
    return [SignalLine(age(one), one.sentence) for one in signals]


def changes(record: QuarterRecord) -> list[SignalLine]:
    """Return what changed against its own past or an earlier quarter; of the firm also where."""
    found = [one for one in of_quarter(record) if one.against != OTHERS]
    return [
        SignalLine(
            line.tag,
            line.sentence + quarter_sources.words(record, one.measure, one.against)
            if one.subject == "firm"
            else line.sentence,
        )
        for one, line in zip(found, lines(found), strict=True)
    ]


@dataclass(frozen=True)
class Otherwise:
    """What stands in place of signals where there are none."""

    changed: str
    apart: str


def otherwise(record: QuarterRecord) -> Otherwise:
    """Return what to say where nothing changed, or nothing stands apart."""
    return Otherwise(_nothing_changed(record), _nothing_apart(record))


def _nothing_changed(record: QuarterRecord) -> str:
    """Say that nothing changed where anything had a past to be set against; else nothing."""
    trends = record.trends
    has_past = trends is not None and (
        len(trends.quarters) > LEAST_PAST
        or any(one.quarter == record.quarter and math.isfinite(one.change) for one in trends.points)
    )
    if not has_past:
        return ""
    return "Nothing and nobody changed against its own past more than chance brings."


def _nothing_apart(record: QuarterRecord) -> str:
    """Say that nothing stands apart where anything was compared, or that nothing could be."""
    if record.trends is None or not record.trends.tested_count:
        return "Nothing could be set beside others yet: too few inspections."
    return "Nobody and nothing stands apart from the others more than chance brings."


def apart(record: QuarterRecord) -> list[SignalLine]:
    """Return what stands apart from the others of its kind."""
    return lines([one for one in of_quarter(record) if one.against == OTHERS])


def named(
    record: QuarterRecord, subject: str, measures: tuple[str, ...], against: str
) -> set[tuple[str, str]]:
    """Return (level, quarter) of every signal of that kind, up to the quarter."""
    trends = record.trends
    return {
        (one.level_name, one.quarter)
        for one in (trends.signals if trends else ())
        if one.subject == subject and one.measure in measures and one.against == against
    }


def brief(
    record: QuarterRecord, quarter: str = "", firm: str = "", *, is_short: bool = False
) -> str:
    """Name the strongest signals in half a sentence; each subject once, by its surest.

    `firm` stands for the signals of the firm where they were told before; `is_short` cuts what is
    said for an inspector.
    """
    first: dict[tuple[str, str], list[Signal]] = {}
    for one in of_quarter(record, quarter):
        first.setdefault((one.subject, one.level_name), []).append(one)
    told = [
        firm if firm and group[0].subject == "firm" else _told(group, is_short=is_short)
        for group in list(first.values())[:MOST_BRIEF]
    ]
    rest = len(first) - len(told)
    return "; ".join([*told, f"and {rest} more"] if rest else told)


def _told(group: list[Signal], *, is_short: bool) -> str:
    """Tell a subject's signals, since when, and of a habit that only the difference is sure."""
    first = group[0]
    words = group_brief(group) + _lasting(first)
    if first.subject != "inspector" or first.measure not in HABITS:
        return words
    sure = f", the difference is {first.sureness}, its cause not known from here:"
    return f"{words}{',' if is_short else sure} hear the inspector first"


def _lasting(one: Signal) -> str:
    """Say of what stands apart for longer since when; a change carries its quarters already."""
    return f", {age(one)}" if one.against == OTHERS and not one.is_new else ""


def group_brief(group: list[Signal]) -> str:
    """Tell the first of a subject's signals, and how many more there are."""
    more, first = len(group) - 1, group[0]
    if not more:
        return first.brief
    kind = "habit" if all(one.measure in HABITS for one in group) else "signal"
    name = "the firm" if first.subject == "firm" else first.level_name
    return f"{first.brief} (and {counted(more)} more {kind}{'s' * (more > 1)} of {name})"


def counted(number: int) -> str:
    """Write a count up to nine as a word, as in a sentence."""
    return in_words(number)
