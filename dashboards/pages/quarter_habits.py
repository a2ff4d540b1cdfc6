"""How completely each inspector took the quarter's readings, beside the colleagues."""

from __future__ import annotations

from dataclasses import dataclass

from analytics.trends.records import HabitShare
from dashboards import theme
from dashboards.figures import standing
from dashboards.pages import quarter_signals as told
from dashboards.pages.parts import Figure, Table, figure, listed, table
from dashboards.pages.quarter_words import by_name, shown_name
from dashboards.quarter_records import QuarterRecord


@dataclass(frozen=True)
class Words:
    """How a habit is told: heading, start of its sentence, which end is the better."""

    heading: str
    start: str
    better: str


HABITS = {
    "ambient": Words(
        "Air temperature",
        "{share} of {total} inspections carry the air temperature that their inspector noted most",
        "less",
    ),
    "clamped": Words(
        "Warm devices clamped", "{share} of {total} warm devices were clamped", "more"
    ),
    "minutes": Words(
        "Minutes under load", "{share} of {total} inspections have the minutes noted", "more"
    ),
    "settled": Words(
        "Read too early",
        "{share} of {total} inspections with minutes noted began sooner than 15 minutes after the "
        "loads came on",
        "less",
    ),
}
"""Habit -> its words, in the order of `analytics.trends.protocol.HABITS`."""


@dataclass(frozen=True)
class HabitPart:
    """One habit: heading and figure of all inspectors."""

    heading: str
    figure: Figure


def parts(record: QuarterRecord) -> list[HabitPart]:
    """Return one part a habit that was seen in the quarter."""
    held = record.trends.habits if record.trends else ()
    made = []
    for measure, words in HABITS.items():
        rows = [one for one in held if one.measure == measure]
        rows.sort(key=lambda one: by_name(one.inspector))
        if rows:
            made.append(HabitPart(words.heading, _figure(measure, words, rows, record)))
    return made


def _figure(measure: str, words: Words, rows: list[HabitShare], record: QuarterRecord) -> Figure:
    loud = {
        name
        for name, quarter in told.named(record, "inspector", (measure,), told.OTHERS)
        if quarter == record.quarter
    }
    hits, total = sum(one.count for one in rows), sum(one.total for one in rows)
    who = [shown_name("inspector", name) for name in sorted(loud, key=by_name)]
    ending = (
        f"{listed(who)} {'differs' if len(who) == 1 else 'differ'} more than colleagues do"
        if who
        else "none differs more than colleagues do"
    )
    start = words.start.format(share=theme.share(hits / total), total=f"{total:,}")
    sentence = f"{start} ({words.better} is better): {ending}."
    drawn = standing.figure([_point(one, loud) for one in rows], 100 * hits / total, 100.0)
    return figure(f"habit-{measure}", sentence, drawn, _table(words, rows, loud))


def _point(one: HabitShare, loud: set[str]) -> standing.StandingPoint:
    name = shown_name("inspector", one.inspector)
    share = one.count / one.total
    return standing.StandingPoint(
        name=name,
        count=one.count,
        total=one.total,
        percent=100 * share,
        low=100 * one.low,
        high=100 * one.high,
        is_cut=False,
        is_apart=one.inspector in loud,
        words=f"{name}: {one.count:,} of {one.total:,}, {theme.share(share)} "
        f"({theme.interval(one.low, one.high)})",
    )


def _table(words: Words, rows: list[HabitShare], loud: set[str]) -> Table:
    body = [
        (
            shown_name("inspector", one.inspector),
            f"{one.count:,}",
            f"{one.total:,}",
            theme.share(one.count / one.total),
            theme.interval(one.low, one.high),
            "yes" if one.inspector in loud else "no",
        )
        for one in rows
    ]
    headers = ("inspector", "counted", "of", "share", "95 % interval", "named")
    return table(f"{words.heading}, by inspector", headers, body)
