"""What changed: shares over the quarters on their charts, like for like, devices read again."""

from __future__ import annotations

import math

from analytics.trends.records import Counted, Move, Pairs
from dashboards import theme
from dashboards.figures import offsets, trend
from dashboards.pages.parts import Figure, Table, count, figure, table
from dashboards.pages.quarter_words import amount, class_word, points, span
from dashboards.quarter_records import QuarterCount, QuarterRecord, Share
from dashboards.theme import RiseScale

MOST_QUARTERS = 12
"""Quarters drawn at most [1]; chosen: three years; the table has all."""
WORDS = {"flagged": "flagged", "overload": "over the limit"}
SHARE_WORDS = {"flagged": "flagged", "overload": "over limit"}
VERDICTS = {"flagged": "suspect_connection", "overload": "overload"}
LAST_QUARTER = "the last quarter"


def figures(record: QuarterRecord) -> list[Figure]:
    """Return the two figures of shares over the quarters, flagged first."""
    return [_figure(measure, record) for measure in WORDS]


def _figure(measure: str, record: QuarterRecord) -> Figure:
    drawn = record.counts[-MOST_QUARTERS:]
    limits = _limits(measure, record)
    shown = [_point(row.quarter, _share(measure, row), limits.get(row.quarter)) for row in drawn]
    return figure(
        f"change-{measure}",
        _sentence(measure, drawn, limits.get(record.quarter)),
        trend.figure(shown, VERDICTS[measure]),
        _table(measure, record, limits),
    )


def _share(measure: str, row: QuarterCount) -> Share:
    return row.flagged if measure == "flagged" else row.overload


def _limits(measure: str, record: QuarterRecord) -> dict[str, Counted]:
    quarters = record.trends.quarters if record.trends else ()
    return {one.quarter: one.flagged if measure == "flagged" else one.overload for one in quarters}


def _point(quarter: str, one: Share, chart: Counted | None) -> trend.TrendPoint:
    if one.value is None or one.low is None or one.high is None:
        return trend.TrendPoint(quarter, None, None, None, f"{quarter}: nothing judged")
    words = (
        f"{quarter}: {theme.share(one.value)} ({theme.interval(one.low, one.high)}), "
        f"{one.count:,} of {one.total:,} judged"
    )
    limits = None
    if chart is not None and math.isfinite(chart.limit_high):
        limits = (100 * chart.limit_low, 100 * chart.limit_high)
    return trend.TrendPoint(quarter, 100 * one.value, 100 * one.low, 100 * one.high, words, limits)


def _sentence(measure: str, drawn: tuple[QuarterCount, ...], chart: Counted | None) -> str:
    shares = [(row.quarter, _share(measure, row).value) for row in drawn]
    known = [(quarter, value) for quarter, value in shares if value is not None]
    if not known:
        return f"Nothing could be judged, so no share {WORDS[measure]} can be drawn."
    start = f"Share {WORDS[measure]} of the readings that could be judged"
    if len(known) == 1:
        return f"{start}: {theme.share(known[0][1])} in {known[0][0]}, the only quarter with any."
    low, high = min(known, key=lambda k: k[1]), max(known, key=lambda k: k[1])
    return (
        f"{start}: between {theme.share(low[1])} ({low[0]}) and {theme.share(high[1])} "
        f"({high[0]}); {theme.share(known[-1][1])} in {known[-1][0]}{_chart_words(chart)}."
    )


def _chart_words(chart: Counted | None) -> str:
    if chart is None or not math.isfinite(chart.limit_high):
        return ""
    place = "outside" if chart.is_out else "within"
    return f", {place} the limits that earlier quarters set (grey)"


def _table(measure: str, record: QuarterRecord, limits: dict[str, Counted]) -> Table:
    rows = []
    for row in record.counts:
        one, chart = _share(measure, row), limits.get(row.quarter)
        ends = (chart.limit_low, chart.limit_high) if chart else (math.nan, math.nan)
        rows.append(
            (
                row.quarter,
                f"{row.panel_count:,}",
                f"{one.total:,}",
                f"{one.count:,}",
                theme.share(one.value),
                theme.interval(one.low, one.high),
                theme.interval(*ends) if math.isfinite(ends[1]) else "–",
                _step(measure, row),
            )
        )
    headers = (
        "quarter", "panels", "judged", WORDS[measure], "share", "95 % interval",
        "limits of its chart", "points on the quarter before",
    )  # fmt: skip
    return table(f"Share {WORDS[measure]} by quarter", headers, rows)


def _step(measure: str, row: QuarterCount) -> str:
    low, high = (
        (row.flagged_change_low, row.flagged_change_high)
        if measure == "flagged"
        else (row.overload_change_low, row.overload_change_high)
    )
    if low is None or high is None:
        return "–"
    return span(100 * low, 100 * high, 2, is_signed=True)


def moves(record: QuarterRecord) -> Figure | None:
    """Return the changes like for like; None where nothing can be set beside."""
    held = record.trends.moves if record.trends else ()
    if not held:
        return None
    rows = [
        offsets.OffsetRow(
            label=_label(one),
            value=100 * one.difference,
            low=100 * one.low,
            high=100 * one.high,
            limit=None,
            is_named=one.is_change,
            words=f"{_label(one)}: {points(one.difference)} points {_against(one)} ({_ends(one)})",
        )
        for one in held
    ]
    drawn = offsets.figure(rows, "points of a hundred")
    return figure("moves", _moves_sentence(record.quarter, held), drawn, _moves_table(held))


def _label(one: Move) -> str:
    short = {
        LAST_QUARTER: "last quarter",
        "the same quarter last year": "last year",
    }.get(one.against, "a quarter")
    return f"{SHARE_WORDS[one.measure]}, {short}"


def _against(one: Move) -> str:
    return one.against if one.against.startswith("a quarter") else f"against {one.against}"


def _ends(one: Move) -> str:
    return span(100 * one.low, 100 * one.high, 2, is_signed=True)


def _moves_sentence(quarter: str, held: tuple[Move, ...]) -> str:
    """Say what moved, class, load, air and office held; a diamond stands for each that did."""
    start = (
        f"Change of {quarter} like for like (the mix of classes, loads, air temperatures and "
        "offices held equal)"
    )
    loud = [one for one in held if one.is_change]
    unsure = [one for one in held if not one.is_change and one.low * one.high > 0]
    words = _moved(loud) or "no share moved more than chance brings"
    if unsure:
        words += f"; with {len(held)} compared not yet certain: {_moved(unsure)}"
    return f"{start}: {words}."


def _moved(moves: list[Move]) -> str:
    return "; ".join(
        f"share {WORDS[one.measure]} {points(one.difference)} points {_against(one)} ({_ends(one)})"
        for one in moves
    )


def _moves_table(held: tuple[Move, ...]) -> Table:
    rows = [
        (
            WORDS[one.measure],
            _against(one),
            points(one.difference),
            _ends(one),
            f"{one.p_value:.3f}",
            amount(one.q_value, 3),
        )
        for one in held
    ]
    headers = ("share", "compared", "points", "95 % interval", "p", "p, all allowed for")
    return table("Changes, like for like", headers, rows, text_columns=2)


def pairs(record: QuarterRecord, scale: RiseScale) -> Figure | None:
    """Return how devices that were read again moved; None where none was."""
    held = record.trends.pairs if record.trends else ()
    shown = [one for one in held if math.isfinite(one.low_k)][-MOST_QUARTERS:]
    if not shown:
        return None
    rows = [
        offsets.OffsetRow(
            label=one.quarter,
            value=scale.shown(one.mean_k),
            low=scale.shown(one.low_k),
            high=scale.shown(one.high_k),
            limit=None,
            is_named=False,
            words=f"{one.quarter}: {_mean(one, scale)}, {count(one.count, 'device')}",
        )
        for one in shown
    ]
    drawn = offsets.figure(rows, f"warmer than before, {scale.symbol}")
    return figure(
        "pairs", _pairs_sentence(record, shown[-1], scale), drawn, _pairs_table(shown, scale)
    )


def _mean(one: Pairs, scale: RiseScale) -> str:
    ends = span(scale.shown(one.low_k), scale.shown(one.high_k), is_signed=True)
    return f"{amount(scale.shown(one.mean_k), is_signed=True)} {scale.symbol} ({ends})"


def _pairs_sentence(record: QuarterRecord, last: Pairs, scale: RiseScale) -> str:
    if last.quarter != record.quarter:
        return (
            f"Devices read again at a later visit, by quarter; none was in {record.quarter}, the "
            f"last ones were in {last.quarter}: {_mean(last, scale)} on average."
        )
    worse = len(last.worse)
    some = {0: "none of them runs", 1: "1 of them runs"}.get(worse, f"{worse:,} of them run")
    return (
        f"{count(last.count, 'device')} read again in {record.quarter}, current and panel taken "
        f"out: {_mean(last, scale)} on average; {some} hotter than before by more than "
        "readings differ."
    )


def _pairs_table(shown: list[Pairs], scale: RiseScale) -> Table:
    rows = [
        (
            one.quarter,
            f"{one.count:,}",
            amount(scale.shown(one.mean_k), is_signed=True),
            span(scale.shown(one.low_k), scale.shown(one.high_k), is_signed=True),
            f"{len(one.worse):,}",
        )
        for one in shown
    ]
    headers = ("quarter", "devices", f"mean change, {scale.symbol}", "95 % interval", "worse")
    return table("Devices that were read again", headers, rows)


def worse_table(record: QuarterRecord, scale: RiseScale) -> Table | None:
    """Return the devices that grew hotter between visits; None where none did."""
    held = record.trends.pairs if record.trends else ()
    now = next((one for one in held if one.quarter == record.quarter), None)
    if now is None or not now.worse:
        return None
    rows = [
        (
            one.panel_id,
            "main" if one.position == 0 else str(one.position),
            class_word(one.device_class),
            f"{one.days:,}",
            amount(scale.shown(one.change_k), is_signed=True),
            f"{one.q_value:.3f}",
        )
        for one in now.worse
    ]
    headers = ("panel", "slot", "class", "days between", f"warmer by, {scale.symbol}", "q")
    return table(
        "Devices that run hotter for their current than at their earlier visit; q is the share of "
        "false ones among such",
        headers,
        rows,
        text_columns=3,
    )
