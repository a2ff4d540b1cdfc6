"""Whether stated chances come true: by band, Brier's score with its parts, and the slope."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from dashboards import theme
from dashboards.figures import reliability
from dashboards.pages.diagnostics_words import decimal
from dashboards.pages.parts import Table, figure, table
from dashboards.pages.tuning_words import Block, TuningSection

if TYPE_CHECKING:
    from analytics.tuning import Recalibrated
    from analytics.tuning.recalibration import Interval
    from analytics.tuning.reliability import Band, Reliability
    from dashboards.tuning import TuningRecord

ASKS = (
    "Whether of devices with a stated chance of 30 % some 30 in 100 are found faulty; the examined "
    "stand for all readings of their band, those flagged for the flagged and the others for the "
    "others."
)

RARE = 0.005
"""Chance below which two decimals are written [1]; chosen: the lowest band lies there."""


def section(record: TuningRecord) -> TuningSection:
    """Return the section; without findings it says so."""
    heading, found = "Do the stated chances come true", record.tuned.reliability
    if found is None:
        return TuningSection(
            "chances", heading, ASKS, "There is no finding to set them against.", (), True
        )
    bands = found.bands
    drawn = reliability.figure([_point(one) for one in bands])
    caption = (
        "Share found faulty against the stated chance, both by log odds: dots with 95 % intervals, "
        "dashed the rising fit, dotted where both are equal. Above the dotted line faults are more "
        "frequent than stated."
    )
    blocks = (
        Block("By band of evidence", (), figure("reliability", caption, drawn, _table(bands))),
        Block("Brier’s score and its parts", (_brier_words(),), None, (_parts(found),)),
        _mended(record.recalibrated),
    )
    return TuningSection("chances", heading, ASKS, _answer(found), blocks, is_appendix=True)


def _answer(found: Reliability) -> str:
    """Say it as the command does; its parts stand in a table here."""
    return f"{found.sentence} Brier’s score is {found.parts.score:.4f}; 0 is perfect."


def _mended(found: Recalibrated) -> Block:
    """Say whether recalibrating would mend the chances, with its proof across panels."""
    heading = "Would recalibrating mend them"
    if found.intercept is None or found.slope is None or found.scores is None:
        return Block(heading, (found.sentence,))
    one = found.scores
    rows = [
        ("intercept of the log odds", _within(found.intercept, 2)),
        ("slope of the log odds", _within(found.slope, 2)),
        ("log score", f"{one.log_before:.4f} becomes {one.log_after:.4f}"),
        ("  gain", _within(one.log_gain, 4)),
        ("Brier’s score", f"{one.brier_before:.4f} becomes {one.brier_after:.4f}"),
        ("  gain", _within(one.brier_gain, 4)),
    ]
    made = table("On panels it was not fitted on; smaller is better", ("number", "value"), rows)
    return Block(heading, (found.sentence,), None, (made,))


def _within(one: Interval, digits: int) -> str:
    ends = [decimal(value, digits) for value in (one.value, one.low, one.high)]
    return f"{ends[0]} ({ends[1]} to {ends[2]})"


def _brier_words() -> str:
    return (
        "The score is the mean squared distance of stated chances from what was found. Reliability "
        "is what recalibrating could take off; resolution is what telling devices apart takes off "
        "the uncertainty that any statement of the mean alone would have."
    )


def _parts(found: Reliability) -> Table:
    one = found.parts
    rows = [
        ("score", f"{one.score:.4f}"),
        ("reliability (smaller is better)", f"{one.reliability:.4f}"),
        ("resolution (larger is better)", f"{one.resolution:.4f}"),
        ("uncertainty (of the fleet)", f"{one.uncertainty:.4f}"),
        ("slope of found on stated logits", "–" if found.slope is None else f"{found.slope:.2f}"),
    ]
    return table("Score = reliability − resolution + uncertainty", ("part", "value"), rows)


def _point(one: Band) -> reliability.ReliabilityPoint:
    return reliability.ReliabilityPoint(
        one.stated,
        one.found,
        one.low,
        one.high,
        one.rising,
        f"stated {percent(one.stated)}: found {percent(one.found)} ({percent(one.low)} to "
        f"{percent(one.high)}); {one.examined:,} of {one.readings:,} examined",
    )


def percent(chance: float) -> str:
    """Write a chance [1] in per cent: one decimal under ten, two where it is below one in 200."""
    if 0 < chance < RARE:
        return f"{100 * chance:.2f}{theme.PERCENT}"
    return theme.share(chance)


def _table(bands: Sequence[Band]) -> Table:
    headers = ("stated", "found", "95 % interval", "rising fit", "examined", "of readings")
    body = [
        (
            percent(one.stated),
            percent(one.found),
            f"{percent(one.low)} to {percent(one.high)}",
            percent(one.rising),
            f"{one.examined:,}",
            f"{one.readings:,}",
        )
        for one in bands
    ]
    return table("Stated chances against findings", headers, body, text_columns=0)
