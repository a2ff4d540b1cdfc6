"""Which way the firm's shares go: the change on the last quarter, the standing over several.

What the trends call a change, all comparisons of the quarter allowed for, is called one here and
nothing else is: `Move.is_change` for one quarter against another, a signal for the standing.
"""

from __future__ import annotations

import math

from markupsafe import Markup

from analytics.trends.records import Move, Signal
from dashboards import theme
from dashboards.pages import quarter_signals as told
from dashboards.pages.quarter_changes import LAST_QUARTER
from dashboards.pages.quarter_words import points, span
from dashboards.quarter_records import QuarterRecord, Share

WHAT = {"flagged": "Flagged devices", "overload": "Devices over the current limit"}


def sentence(record: QuarterRecord) -> Markup:
    """Say which way both shares go; nothing where neither can be told."""
    held = {measure: _move(record, measure) for measure in WHAT}
    if not any(held.values()):
        return Markup()
    parts = Markup(" ").join(_course(record, measure, held[measure]) for measure in WHAT)
    return Markup(
        "{} Like for like holds the mix of classes, loads, air temperatures and offices equal."
    ).format(parts)


def _move(record: QuarterRecord, measure: str) -> Move | None:
    held = record.trends.moves if record.trends else ()
    fits = (one for one in held if (one.measure, one.against) == (measure, LAST_QUARTER))
    return next(fits, None)


def _standing(record: QuarterRecord, measure: str) -> Signal | None:
    """Return the firm's signal against its own earlier quarters, if it has one."""
    for one in told.of_quarter(record):
        if (one.subject, one.measure, one.against) == ("firm", measure, told.PAST):
            return one
    return None


def _course(record: QuarterRecord, measure: str, move: Move | None) -> Markup:
    standing = _standing(record, measure)
    is_high = standing is not None and standing.size > 1.0
    if move is not None and move.is_change:
        claim = "rose" if move.difference > 0 else ("fell back" if is_high else "fell")
        tail = "" if standing is None else f"; {_times(standing)}"
        return Markup("<b>{} {}</b>: {}{}.").format(
            WHAT[measure], claim, _numbers(record, measure, move), tail
        )
    if standing is not None:
        return Markup("<b>{} are {} than they used to be</b>: {}. Against {} {}.").format(
            WHAT[measure],
            "more" if is_high else "fewer",
            _times(standing),
            record.counts[-2].quarter,
            _unsure(record, measure, move),
        )
    if move is None:
        return Markup("{} cannot be compared with {}: too few like cases.").format(
            WHAT[measure], record.counts[-2].quarter
        )
    return Markup("<b>{} neither rose nor fell for certain</b>: {}.").format(
        WHAT[measure], _numbers(record, measure, move)
    )


def _unsure(record: QuarterRecord, measure: str, move: Move | None) -> str:
    if move is None:
        return "a change cannot be told: too few like cases"
    return f"no change is certain: {_numbers(record, measure, move)}"


def _numbers(record: QuarterRecord, measure: str, move: Move) -> str:
    now, then = (_share(record, measure, back) for back in (-1, -2))
    ends = span(100 * move.low, 100 * move.high, 2, is_signed=True)
    return (
        f"{theme.share(now.value)} after {theme.share(then.value)} in "
        f"{record.counts[-2].quarter}, like for like {points(move.difference)} points "
        f"(95{theme.PERCENT} interval {ends}{_doubt(record, move)})"
    )


def _share(record: QuarterRecord, measure: str, back: int) -> Share:
    row = record.counts[back]
    return row.flagged if measure == "flagged" else row.overload


def _doubt(record: QuarterRecord, move: Move) -> str:
    """Say why a move is no change; nothing where it is one."""
    if move.is_change:
        return ""
    if move.low * move.high <= 0:
        return ": no more than chance brings"
    if math.isnan(move.q_value):
        return ", too little known yet to call it a change"
    compared = len(record.trends.moves) if record.trends else 0
    return f", with {compared} shares compared not yet certain"


def _times(one: Signal) -> str:
    """Say how the firm stands over the quarters of its signal."""
    when = f"in {one.quarter}"
    if one.since != one.quarter:
        when = f"over {one.since} to {one.quarter} together still"
    return (
        f"{when} {one.size:.2f} times what earlier quarters had ({one.low:.2f} to {one.high:.2f})"
    )
