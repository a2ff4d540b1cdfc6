"""The signals of a quarter as the page tells them: which are new, which last, who is named."""

from __future__ import annotations

from dataclasses import dataclass

from analytics.trends.records import Signal
from analytics.trends.report import age
from dashboards.quarter_records import QuarterRecord

PAST = "its own past"
OTHERS = "the others"
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
    """Return what changed against its own past, the last quarter or the last year."""
    return lines([one for one in of_quarter(record) if one.against != OTHERS])


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


def brief(record: QuarterRecord, quarter: str = "", firm: str = "") -> str:
    """Name the strongest signals in half a sentence; each subject once, by its surest.

    `firm` stands for the signals of the firm where they were told before.
    """
    first: dict[tuple[str, str], list[Signal]] = {}
    for one in of_quarter(record, quarter):
        first.setdefault((one.subject, one.level_name), []).append(one)
    told = [
        firm if firm and group[0].subject == "firm" else group_brief(group)
        for group in list(first.values())[:MOST_BRIEF]
    ]
    rest = len(first) - len(told)
    return "; ".join([*told, f"and {rest} more"] if rest else told)


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
    words = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
    return words[number] if number < len(words) else f"{number:,}"
