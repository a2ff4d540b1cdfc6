"""Each camera, inspector, office and make against its own past, and the course of the named."""

from __future__ import annotations

import math
from dataclasses import dataclass

from analytics.trends.records import Point
from dashboards.figures import course, offsets
from dashboards.pages import quarter_signals as told
from dashboards.pages.parts import Figure, Table, count, figure, listed, table
from dashboards.pages.quarter_words import (
    PLURAL,
    amount,
    by_name,
    finite,
    left_out,
    shown_name,
    span,
)
from dashboards.quarter_records import QuarterRecord
from dashboards.theme import RiseScale

KINDS = ("camera", "inspector", "office", "make")
MEASURES = ("deviation", "heat")
MOST_COURSES = 4
"""Courses drawn of one kind at most [1]; chosen; the list of signals has all."""


@dataclass(frozen=True)
class DriftPart:
    """One kind of subject: heading, a sentence, the figures of all and of the named.

    A quiet one, in which nothing moved, is folded under its summary.
    """

    heading: str
    summary: str
    is_quiet: bool
    sentence: str
    all: Figure | None
    courses: list[Figure]


@dataclass(frozen=True)
class Unit:
    """How a kind's differences are shown: factor, symbol, what more of it is called."""

    factor: float
    symbol: str
    axis: str


def unit_of(kind: str, scale: RiseScale) -> Unit:
    """Return how differences of a kind are shown: makes in percent of heat, others as rises."""
    if kind == "make":
        return Unit(100.0, "%", "hotter")
    return Unit(scale.factor, scale.symbol, "reads warmer")


def parts(record: QuarterRecord, scale: RiseScale) -> list[DriftPart]:
    """Return one part a kind; none in the first quarter, which has no past to be set against."""
    if record.trends is None or len(record.trends.quarters) < 2:
        return []
    made = []
    for kind in KINDS:
        own = [one for one in record.trends.points if one.subject == kind]
        if own:
            made.append(_part(kind, own, record, scale))
    return made


def _part(kind: str, own: list[Point], record: QuarterRecord, scale: RiseScale) -> DriftPart:
    named = told.named(record, kind, MEASURES, told.PAST)
    now = [one for one in own if one.quarter == record.quarter and math.isfinite(one.change)]
    now.sort(key=lambda one: by_name(one.level_name))
    loud = sorted({name for name, quarter in named if quarter == record.quarter}, key=by_name)
    unit = unit_of(kind, scale)
    sentence = _sentence(kind, now, loud, unit)
    if now and kind != "make":
        sentence += left_out(kind, [one.level_name for one in now], record)
    return DriftPart(
        heading=f"{PLURAL[kind].capitalize()} against their own past",
        summary=_summary(kind, now),
        is_quiet=not loud and not _beyond(kind, now, loud, unit),
        sentence=sentence,
        all=_all(kind, now, set(loud), unit, sentence) if now else None,
        courses=[
            _course(kind, name, [one for one in own if one.level_name == name], named, unit)
            for name in loud[:MOST_COURSES]
        ],
    )


def _summary(kind: str, now: list[Point]) -> str:
    if not now:
        return f"{PLURAL[kind].capitalize()}: too few inspections to set them against their past"
    return f"{count(len(now), kind, PLURAL[kind])}: none moved more than chance brings"


def _sentence(kind: str, now: list[Point], loud: list[str], unit: Unit) -> str:
    if not now:
        return (
            f"No {kind} has enough inspections, now and earlier, to be set against its own past in "
            "this quarter."
        )
    start = f"Change of {count(len(now), kind, PLURAL[kind])} against their own earlier quarters"
    words = "none moved more than chance brings"
    if loud:
        verb = "moves" if len(loud) == 1 else "move"
        words = f"{listed(loud)} {verb} more than chance brings"
    return f"{start}, what all have in common taken off: {words}{_beyond(kind, now, loud, unit)}."


def _beyond(kind: str, now: list[Point], loud: list[str], unit: Unit) -> str:
    """Name those beyond the grey that are no signals: not yet certain."""
    found = [one for one in now if abs(one.change) > one.limit and one.level_name not in loud]
    if not found:
        return ""
    words = listed(
        [
            f"{shown_name(kind, one.level_name)} moved "
            f"{amount(unit.factor * one.change, is_signed=True)} {unit.symbol}"
            for one in found
        ]
    )
    compared = count(len(now), kind, PLURAL[kind])
    return f"; {words} beyond the grey, which with {compared} compared is not yet certain"


def _all(kind: str, now: list[Point], loud: set[str], unit: Unit, sentence: str) -> Figure:
    rows = [
        offsets.OffsetRow(
            label=shown_name(kind, one.level_name),
            value=unit.factor * one.change,
            low=unit.factor * one.change_ends[0],
            high=unit.factor * one.change_ends[1],
            limit=finite(unit.factor * one.limit),
            is_named=one.level_name in loud,
            words=_words(kind, one, unit),
        )
        for one in now
    ]
    drawn = offsets.figure(rows, f"{unit.axis} than before, {unit.symbol}")
    return figure(f"drift-{kind}", sentence, drawn, _all_table(kind, now, loud, unit))


def _words(kind: str, one: Point, unit: Unit) -> str:
    return (
        f"{shown_name(kind, one.level_name)}, {one.quarter}: {_change(one, unit)}; "
        f"{count(one.count, 'inspection')}"
    )


def _change(one: Point, unit: Unit) -> str:
    if not math.isfinite(one.change):
        return "too few inspections to tell"
    size = amount(unit.factor * one.change, is_signed=True)
    return f"{size} {unit.symbol} ({_interval(one, unit)})"


def _interval(one: Point, unit: Unit) -> str:
    low, high = one.change_ends
    return span(unit.factor * low, unit.factor * high)


def _all_table(kind: str, now: list[Point], loud: set[str], unit: Unit) -> Table:
    rows = [
        (
            shown_name(kind, one.level_name),
            f"{one.count:,}",
            amount(unit.factor * one.change, is_signed=True),
            _interval(one, unit),
            amount(unit.factor * one.limit),
            amount(one.average, is_signed=True),
            "yes" if one.level_name in loud else "no",
        )
        for one in now
    ]
    headers = (
        kind, "inspections", f"change, {unit.symbol}", "95 % interval",
        "steady within ±", "average", "named",
    )  # fmt: skip
    return table(
        f"{PLURAL[kind].capitalize()} against their own past; the average counts late quarters "
        "most and is in its own standard deviations",
        headers,
        rows,
    )


def _course(
    kind: str, name: str, own: list[Point], named: set[tuple[str, str]], unit: Unit
) -> Figure:
    shown = shown_name(kind, name)
    off = [one.quarter for one in own if (name, one.quarter) in named]
    sentence = (
        f"The course of {kind} {shown} over {count(len(own), 'quarter')}: beyond what a steady "
        f"{kind} does in {listed(off)}. Above, each quarter against its own past; below, the "
        "average that counts late quarters most, in standard deviations; grey is where steady "
        "ones lie."
    )
    points = [
        course.CoursePoint(
            quarter=one.quarter,
            change=finite(unit.factor * one.change),
            low=finite(unit.factor * one.change_ends[0]),
            high=finite(unit.factor * one.change_ends[1]),
            limit=finite(unit.factor * one.limit),
            average=finite(one.average),
            is_named=(name, one.quarter) in named,
            words=_words(kind, one, unit),
        )
        for one in own
    ]
    drawn = course.figure(points, unit.symbol)
    number = sorted({level for level, _ in named}).index(name)
    return figure(
        f"course-{kind}-{number}", sentence, drawn, _course_table(shown, own, unit, named)
    )


def _course_table(shown: str, own: list[Point], unit: Unit, named: set[tuple[str, str]]) -> Table:
    rows = [
        (
            one.quarter,
            f"{one.count:,}",
            amount(unit.factor * one.change, is_signed=True),
            _interval(one, unit),
            amount(unit.factor * one.limit),
            amount(one.average, is_signed=True),
            "yes" if (one.level_name, one.quarter) in named else "no",
        )
        for one in own
    ]
    headers = (
        "quarter", "inspections", f"change, {unit.symbol}", "95 % interval",
        "steady within ±", "average", "named",
    )  # fmt: skip
    return table(f"{shown} by quarter", headers, rows)
