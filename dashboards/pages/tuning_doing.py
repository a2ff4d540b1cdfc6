"""What to do next: whom to send where, and what to clamp."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from analytics.tuning.telling import unreachable
from dashboards import theme
from dashboards.pages.parts import Table, count, table
from dashboards.pages.tuning_words import (
    MOST_ROWS,
    Block,
    TuningSection,
    chance,
    class_word,
    day,
    more,
    slot,
    verdict,
)

if TYPE_CHECKING:
    from analytics.tuning.against import Flip
    from analytics.tuning.openings import OpenDevice
    from dashboards.tuning import TuningRecord

ASKS = "Which devices and readings need somebody now, whatever becomes of the lines."


def section(record: TuningRecord) -> TuningSection:
    """Return the section: devices worth a visit, newly flagged ones, readings without a current."""
    blocks = []
    devices = record.tuned.open.devices if record.tuned.open else ()
    if devices:
        words = (
            "Not flagged, not examined, scanned within a year; the likeliest first."
            f"{more(len(devices))}",
        )
        made = _open(devices[:MOST_ROWS])
        blocks.append(Block("Not flagged, and yet worth a visit", words, None, (made,), True))
    newly = record.flips.of("newly flagged") if record.flips else []
    if newly:
        heading = "Newly flagged: whom to send, and whom not"
        blocks.append(Block(heading, _newly_words(record), None, (_newly(newly),)))
    blocks.append(
        Block(
            "Readings that no line can flag", (unreachable(record.tuned.span, record.tuned.found),)
        )
    )
    return TuningSection("doing", "What to do next", ASKS, _answer(record), tuple(blocks))


def _answer(record: TuningRecord) -> str:
    if record.tuned.open is None:
        return unreachable(record.tuned.span, record.tuned.found)
    return record.tuned.open.sentence


def _newly_words(record: TuningRecord) -> tuple[str, ...]:
    which = "the policy that was given" if record.is_given else "the policy proposed"
    return (
        f"What {which} flags among past readings is no list of visits by itself: who was scanned "
        "long ago is scanned again first, and where a later scan is there, that one speaks.",
    )


def _newly(rows: Sequence[Flip]) -> Table:
    """Count the newly flagged by what is to be done."""
    examined = [one for one in rows if one.finding is not None]
    rest = [one for one in rows if one.finding is None]
    again = [one for one in rest if not one.is_latest]
    last = [one for one in rest if one.is_latest]
    recent = [one for one in last if one.is_recent]
    body = [
        ("examined already", "nothing; the finding counts", f"{len(examined):,}"),
        ("scanned again since", "nothing; the later scan speaks", f"{len(again):,}"),
        ("last scan within a year", "send an electrician", f"{len(recent):,}"),
        ("last scan longer ago", "scan again under load", f"{len(last) - len(recent):,}"),
        ("in all", "–", f"{len(rows):,}"),
    ]
    headers = ("newly flagged", "what to do", "readings")
    return table("Newly flagged past readings", headers, body, 2, "real")


def _open(rows: Sequence[OpenDevice]) -> Table:
    headers = (
        "panel", "slot", "visit", "day", "office", "class", "verdict", "chance", "heat ratio",
        "load",
    )  # fmt: skip
    body = [
        (
            theme.printable(one.panel_id),
            slot(one.position),
            theme.printable(one.inspection_id),
            day(one.inspected_at),
            theme.printable(one.office_id),
            class_word(one.device_class),
            verdict(one.verdict),
            chance(one.probability),
            "–" if one.heat_ratio is None else f"{one.heat_ratio:.1f}",
            "–" if one.load_fraction is None else theme.share(one.load_fraction),
        )
        for one in rows
    ]
    return table(f"{count(len(rows), 'device')} worth a visit", headers, body, 7, "list")
