"""Devices that were read again: how their heat for their current moved, and which grew hotter."""

from __future__ import annotations

import math

from analytics.trends.records import Pairs
from dashboards.figures import offsets
from dashboards.pages.parts import Figure, Table, count, figure, table
from dashboards.pages.quarter_changes import MOST_QUARTERS
from dashboards.pages.quarter_words import amount, class_word, span
from dashboards.quarter_records import QuarterRecord
from dashboards.theme import RiseScale


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
        f"{count(last.count, 'device')} read again in {record.quarter}, what current and panel "
        f"bring taken off: {_mean(last, scale)} on average; {some} hotter than before by more "
        "than two readings of one device usually differ."
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
    headers = (
        "panel", "slot", "class", "days between", f"warmer by, {scale.symbol}", "chance it is false"
    )  # fmt: skip
    return table(
        "Devices that run hotter for their current than at their earlier visit; the chance is the "
        "share of false ones among such",
        headers,
        rows,
        text_columns=3,
    )
