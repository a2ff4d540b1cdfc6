"""Where the quarter stands apart: by class, make, office, camera and inspector."""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from dashboards import theme
from dashboards.figures import standing
from dashboards.pages import quarter_beside
from dashboards.pages.parts import Figure, Table, count, figure, table
from dashboards.pages.quarter_words import PLURAL, by_name, shown_name
from dashboards.quarter_records import QuarterRecord, Standing
from dashboards.theme import RiseScale

SUBJECTS = ("class", "make", "office", "camera", "inspector")
MOST_LEVELS = 24
"""Levels drawn at most [1]; chosen for a phone; the table has all."""
FAIR_COUNT = 30
"""Judged readings from which a level's interval may stretch the axis [1]; chosen."""


@dataclass(frozen=True)
class Standings:
    """One subject: heading, a sentence where nothing can be compared, figures, counts."""

    heading: str
    sentence: str
    figures: list[Figure]
    table: Table | None


def sections(record: QuarterRecord, scale: RiseScale) -> list[Standings]:
    """Return one section a subject."""
    return [_section(subject, record, scale) for subject in SUBJECTS]


def _section(subject: str, record: QuarterRecord, scale: RiseScale) -> Standings:
    rows = record.level_rows(subject)
    judged = [row for row in rows if row.judged_count]
    figures: list[Figure] = []
    sentence = "" if len(judged) > 1 else _too_few(subject, rows, judged)
    if len(judged) > 1:
        figures = _figures(subject, judged, record, scale)
    is_table_shown = any(one.id == f"standing-{subject}" for one in figures)
    return Standings(
        heading=f"By {subject}",
        sentence=sentence,
        figures=figures,
        table=None if is_table_shown else _table(subject, rows),
    )


def _figures(
    subject: str, judged: list[Standing], record: QuarterRecord, scale: RiseScale
) -> list[Figure]:
    beside = quarter_beside.funnels(subject, record)
    return [
        *([] if beside else [_shares(subject, judged)]),
        *beside,
        *quarter_beside.levels(subject, record, scale),
    ]


def _too_few(subject: str, rows: tuple[Standing, ...], judged: list[Standing]) -> str:
    if not judged:
        return f"No {subject} has a reading that could be judged."
    name = shown_name(subject, judged[0].level)
    others = f" ({count(len(rows), subject, PLURAL[subject])} in all)" if len(rows) > 1 else ""
    return (
        f"All judged readings are of one {subject}, “{name}”{others}: there is nothing to compare."
    )


def _shares(subject: str, judged: list[Standing]) -> Figure:
    """Return the quarter's shares side by side, where no funnel stands for them."""
    drawn = sorted(judged, key=lambda row: (-row.judged_count, row.level))[:MOST_LEVELS]
    drawn.sort(key=lambda row: by_name(shown_name(subject, row.level)))
    points, most = _points(drawn)
    rest = (
        f" The {len(drawn)} with the most readings are drawn; the table has all {len(judged)}."
        if len(drawn) < len(judged)
        else ""
    )
    low, high = (end(judged, key=lambda row: row.flagged.value or 0.0) for end in (min, max))
    sentence = (
        f"Share flagged in the quarter: {theme.share(judged[0].whole_share)} of all judged "
        f"readings, from {theme.share(low.flagged.value)} ({shown_name(subject, low.level)}) to "
        f"{theme.share(high.flagged.value)} ({shown_name(subject, high.level)}); where the "
        f"intervals are wide, chance alone makes such differences.{rest}"
    )
    picture = standing.figure(points, 100 * drawn[0].whole_share, most)
    cut = {row.level for row, point in zip(drawn, points, strict=True) if point.is_cut}
    return figure(f"standing-{subject}", sentence, picture, _table(subject, tuple(judged), cut))


def _points(rows: list[Standing]) -> tuple[list[standing.StandingPoint], float]:
    """Return the points and the end of the axis [%], which thin levels do not stretch."""
    fair = [r for r in rows if r.judged_count >= FAIR_COUNT] or rows
    most = 1.05 * max(
        *(r.flagged_high or 0.0 for r in fair), *((r.flagged.value or 0.0) for r in rows), 0.01
    )
    return [_point(row, most) for row in rows], 100 * most


def _point(row: Standing, most: float) -> standing.StandingPoint:
    low, high, value = row.flagged_low or 0.0, row.flagged_high or 0.0, row.flagged.value or 0.0
    name = shown_name(row.subject, row.level)
    words = (
        f"{name}: {row.flagged_count:,} of {row.judged_count:,} judged, "
        f"{theme.share(value)} ({theme.interval(low, high)}), "
        f"{count(row.panel_count, 'panel')}"
    )
    return standing.StandingPoint(
        name=name,
        count=row.flagged_count,
        total=row.judged_count,
        percent=100 * value,
        low=100 * low,
        high=100 * min(high, most),
        is_cut=high > most,
        is_apart=False,
        words=words,
    )


def _table(subject: str, rows: tuple[Standing, ...], cut: AbstractSet[str] = frozenset()) -> Table:
    headers = (
        subject, "panels", "readings", "judged", "flagged", "share", "95 % interval", "over limit",
    )  # fmt: skip
    body = [
        (
            shown_name(subject, row.level),
            f"{row.panel_count:,}",
            f"{row.reading_count:,}",
            f"{row.judged_count:,}",
            f"{row.flagged_count:,}",
            theme.share(row.flagged.value),
            theme.interval(row.flagged_low, row.flagged_high)
            + (quarter_beside.BEYOND if row.level in cut else ""),
            f"{row.overload_count:,}",
        )
        for row in sorted(rows, key=lambda row: by_name(shown_name(subject, row.level)))
    ]
    return table(f"Share flagged in the quarter by {subject}", headers, body)
