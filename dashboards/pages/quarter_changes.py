"""What changed: the flagged share and the overload share over the quarters."""

from __future__ import annotations

from dashboards import theme
from dashboards.figures import trend
from dashboards.pages.parts import Figure, Table, figure, table
from dashboards.quarter_records import QuarterCount, QuarterRecord, Share

MOST_QUARTERS = 12
"""Quarters drawn at most [1]; chosen: three years; the table has all."""


def figures(record: QuarterRecord) -> list[Figure]:
    """Return the two figures of the section, flagged first."""
    drawn = record.counts[-MOST_QUARTERS:]
    return [
        _figure(
            "flagged", "flagged", "suspect_connection", drawn, record, [r.flagged for r in drawn]
        ),
        _figure(
            "overload", "over the limit", "overload", drawn, record, [r.overload for r in drawn]
        ),
    ]


def _figure(
    name: str,
    word: str,
    verdict: str,
    drawn: tuple[QuarterCount, ...],
    record: QuarterRecord,
    shares: list[Share],
) -> Figure:
    points = [_point(row.quarter, one) for row, one in zip(drawn, shares, strict=True)]
    return figure(
        f"change-{name}",
        _sentence(word, drawn, shares),
        trend.figure(points, verdict),
        _table(word, name, record),
    )


def _point(quarter: str, one: Share) -> trend.TrendPoint:
    if one.value is None or one.low is None or one.high is None:
        return trend.TrendPoint(quarter, None, None, None, f"{quarter}: nothing judged")
    words = (
        f"{quarter}: {theme.share(one.value)} ({theme.interval(one.low, one.high)}), "
        f"{one.count:,} of {one.total:,} judged"
    )
    return trend.TrendPoint(quarter, 100 * one.value, 100 * one.low, 100 * one.high, words)


def _sentence(word: str, drawn: tuple[QuarterCount, ...], shares: list[Share]) -> str:
    known = [
        (r.quarter, s.value) for r, s in zip(drawn, shares, strict=True) if s.value is not None
    ]
    if not known:
        return f"Nothing could be judged, so no share {word} can be drawn."
    start = f"Share {word} of the readings that could be judged"
    if len(known) == 1:
        return f"{start}: {theme.share(known[0][1])} in {known[0][0]}, the only quarter with any."
    low, high = min(known, key=lambda k: k[1]), max(known, key=lambda k: k[1])
    return (
        f"{start}: between {theme.share(low[1])} ({low[0]}) and {theme.share(high[1])} "
        f"({high[0]}); {theme.share(known[-1][1])} in {known[-1][0]}."
    )


def _table(word: str, name: str, record: QuarterRecord) -> Table:
    rows = []
    for row in record.counts:
        one: Share = row.flagged if name == "flagged" else row.overload
        rows.append(
            (
                row.quarter,
                f"{row.panel_count:,}",
                f"{one.total:,}",
                f"{one.count:,}",
                theme.share(one.value),
                theme.interval(one.low, one.high),
            )
        )
    headers = ("quarter", "panels", "judged", word, "share", "95 % interval")
    return table(f"Share {word} by quarter", headers, rows)
