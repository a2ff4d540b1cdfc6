"""Which way the firm's shares go: the change on the last quarter, the standing over several.

What the trends call a change, all comparisons of the quarter allowed for, is called one here and
nothing else is: `Move.is_change` for one quarter against another, a signal for the standing.
"""

from __future__ import annotations

import math

from markupsafe import Markup

from analytics.trends.records import Move, Signal, quarter_index
from analytics.trends.sentences import in_words
from dashboards import theme
from dashboards.pages import quarter_signals as told
from dashboards.pages.quarter_changes import LAST_QUARTER
from dashboards.pages.quarter_words import lower, points, span
from dashboards.quarter_records import QuarterRecord, Share

WHAT = {"flagged": "Flagged devices", "overload": "Devices over the current limit"}


def sentence(record: QuarterRecord) -> Markup:
    """Say which way both shares go, in one sentence; nothing where neither can be told."""
    held = {measure: _move(record, measure) for measure in WHAT}
    if not any(held.values()):
        return Markup()
    flagged, over = (_course(record, measure, held[measure]) for measure in WHAT)
    return Markup("{}; {}.").format(flagged, over)


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
    """Tell this quarter against the last and how sure that is, then the quarters together."""
    standing = _standing(record, measure)
    what = WHAT[measure] if measure == "flagged" else lower(WHAT[measure])
    if move is None:
        numbers = f"too few cases like those of {record.counts[-2].quarter}"
        return Markup("<b>{} cannot be compared</b>: {}{}").format(
            what, numbers, _times(standing, "")
        )
    ahead = move.difference * (standing.size - 1.0) if standing is not None else 0.0
    return Markup("<b>{} {}</b>: {}{}").format(
        what, _claim(move), _numbers(record, measure, move), _times(standing, "yet " * (ahead < 0))
    )


def _claim(move: Move) -> str:
    """Say rose or fell only where that is certain with all comparisons allowed for."""
    if not move.is_change:
        return "neither rose nor fell for certain"
    return "rose" if move.difference > 0 else "fell"


def _numbers(record: QuarterRecord, measure: str, move: Move) -> str:
    now, then = (_share(record, measure, back) for back in (-1, -2))
    ends = span(100 * move.low, 100 * move.high, 2, is_signed=True)
    return (
        f"{theme.share(now.value)} after {theme.share(then.value)} in "
        f"{record.counts[-2].quarter}, like for like {points(move.difference)} points "
        f"({ends}{_doubt(move)})"
    )


def _share(record: QuarterRecord, measure: str, back: int) -> Share:
    row = record.counts[back]
    return row.flagged if measure == "flagged" else row.overload


def _doubt(move: Move) -> str:
    """Say why a move is no change; nothing where it is one."""
    if move.is_change:
        return ""
    if move.low * move.high <= 0:
        return ": no more than chance brings"
    if math.isnan(move.q_value):
        return ", too little known yet to call it a change"
    return ", not certain with all shares compared"


def _times(one: Signal | None, yet: str) -> str:
    """Say how the firm stands over the quarters of its signal; nothing without one."""
    if one is None:
        return ""
    when = f"in {one.quarter}"
    if one.since != one.quarter:
        number = quarter_index(one.quarter) - quarter_index(one.since) + 1
        when = f"over the {in_words(number)} quarters {one.since} to {one.quarter} together"
    size = f"{one.size:.2f} times what earlier quarters had"
    return f", {yet}{when} {size} ({one.low:.2f} to {one.high:.2f})"


def remarks(record: QuarterRecord) -> list[str]:
    """Say where a signal of the firm counts fewer readings than its quarters hold, and why."""
    found = []
    for measure in WHAT:
        one = _standing(record, measure)
        if one is None:
            continue
        held = sum(c.judged_count for c in record.counts if one.since <= c.quarter <= one.quarter)
        left = held - one.count
        if left > 0:
            found.append(
                f"{WHAT[measure]}: {held:,} readings were judged in these quarters, {one.count:,} "
                f"count in the signal; {left:,} had no like case in earlier quarters, such as a "
                "device flagged without a current."
            )
    return found
