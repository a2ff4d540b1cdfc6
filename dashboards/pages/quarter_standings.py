"""Where the quarter stands apart: shares by class, office, camera, inspector and make."""

from __future__ import annotations

import re
from dataclasses import dataclass

from dashboards import theme
from dashboards.figures import standing
from dashboards.pages.parts import Figure, Table, count, figure, listed, table
from dashboards.quarter_records import QuarterRecord, Standing

SUBJECTS = ("class", "office", "camera", "inspector", "make")
MOST_LEVELS = 24
"""Levels drawn at most [1]; chosen for a phone; the table has all."""
FAIR_COUNT = 30
"""Judged readings from which a level's interval may stretch the axis [1]; chosen."""
PLURAL = {
    "class": "classes",
    "office": "offices",
    "camera": "cameras",
    "inspector": "inspectors",
    "make": "makes",
}


@dataclass(frozen=True)
class Standings:
    """One subject: heading, sentence, and a figure where there are levels to compare."""

    heading: str
    sentence: str
    figure: Figure | None
    table: Table


def sections(record: QuarterRecord) -> list[Standings]:
    """Return one section a subject."""
    return [_section(subject, record.level_rows(subject)) for subject in SUBJECTS]


def _section(subject: str, rows: tuple[Standing, ...]) -> Standings:
    judged = [row for row in rows if row.judged_count]
    heading = f"By {subject}"
    if len(judged) < 2:
        return Standings(heading, _too_few(subject, rows, judged), None, _table(subject, rows))
    drawn = sorted(judged, key=lambda row: (-row.judged_count, row.level))[:MOST_LEVELS]
    drawn.sort(key=_order)
    sentence = _sentence(subject, judged, len(drawn))
    points, most = _points(drawn)
    picture = standing.figure(points, 100 * drawn[0].whole_share, most)
    return Standings(
        heading,
        sentence,
        figure(f"standing-{subject}", sentence, picture, _table(subject, rows)),
        _table(subject, rows),
    )


def _too_few(subject: str, rows: tuple[Standing, ...], judged: list[Standing]) -> str:
    if not judged:
        return f"No {subject} has a reading that could be judged."
    only = judged[0]
    name = _name(only)
    others = f" ({count(len(rows), subject, PLURAL[subject])} in all)" if len(rows) > 1 else ""
    return (
        f"All judged readings are of one {subject}, “{name}”{others}: there is nothing to compare."
    )


def _sentence(subject: str, judged: list[Standing], drawn_count: int) -> str:
    whole = theme.share(judged[0].whole_share)
    apart = [row for row in judged if row.is_apart]
    rest = (
        f" The {drawn_count} with the most readings are drawn; the table has all {len(judged)}."
        if drawn_count < len(judged)
        else ""
    )
    if not apart:
        return (
            f"No {subject} stands apart from the quarter’s {whole}; the differences are within "
            f"what chance brings.{rest}"
        )
    names = listed([f"{_name(r)} with {theme.share(r.flagged.value)}" for r in apart[:6]])
    more = f" and {len(apart) - 6} more" if len(apart) > 6 else ""
    return f"Apart from the quarter’s {whole}: {names}{more}.{rest}"


def _order(row: Standing) -> list[tuple[bool, int, str]]:
    """Order names as people do: insp-2 before insp-10."""
    parts = re.split(r"([0-9]+)", _name(row))
    return [(not p.isdecimal(), int(p) if p.isdecimal() else 0, p) for p in parts if p]


def _name(row: Standing) -> str:
    if row.subject == "class":
        return theme.CLASS_WORDS.get(row.level, row.level)
    return row.level if len(row.level) <= 40 else row.level[:39] + "…"


def _points(rows: list[Standing]) -> tuple[list[standing.StandingPoint], float]:
    """Return the points and the end of the axis [%], which thin levels do not stretch."""
    fair = [r for r in rows if r.judged_count >= FAIR_COUNT] or rows
    most = 1.05 * max(
        *(r.flagged_high or 0.0 for r in fair), *((r.flagged.value or 0.0) for r in rows), 0.01
    )
    return [_point(row, most) for row in rows], 100 * most


def _point(row: Standing, most: float) -> standing.StandingPoint:
    low, high, value = row.flagged_low or 0.0, row.flagged_high or 0.0, row.flagged.value or 0.0
    words = (
        f"{_name(row)}: {row.flagged_count:,} of {row.judged_count:,} judged, "
        f"{theme.share(value)} ({theme.interval(low, high)}), "
        f"{count(row.panel_count, 'panel')}"
    )
    return standing.StandingPoint(
        name=_name(row),
        count=row.flagged_count,
        total=row.judged_count,
        percent=100 * value,
        low=100 * low,
        high=100 * min(high, most),
        is_cut=high > most,
        is_apart=row.is_apart,
        words=words,
    )


def _table(subject: str, rows: tuple[Standing, ...]) -> Table:
    headers = (
        subject, "panels", "readings", "judged", "flagged", "share", "95 % interval", "over limit",
        "stands apart",
    )  # fmt: skip
    body = [
        (
            _name(row),
            f"{row.panel_count:,}",
            f"{row.reading_count:,}",
            f"{row.judged_count:,}",
            f"{row.flagged_count:,}",
            theme.share(row.flagged.value),
            theme.interval(row.flagged_low, row.flagged_high),
            f"{row.overload_count:,}",
            "yes" if row.is_apart else "no",
        )
        for row in sorted(rows, key=_order)
    ]
    return table(f"Share flagged by {subject}", headers, body)
