"""The findings that do not count and why, and those that contradict another."""

from __future__ import annotations

from typing import TYPE_CHECKING

from analytics.tuning.telling import CODES, KINDS, contradict
from dashboards import theme
from dashboards.pages.parts import Table, count, table
from dashboards.pages.tuning_words import (
    MOST_ROWS,
    Block,
    TuningSection,
    day,
    filled,
    finding,
    more,
    slot,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from analytics.tuning.findings import Contradiction, SetAside
    from dashboards.tuning import TuningRecord

ASKS = "Which findings say nothing until something is put right, and which say otherwise twice."


def section(record: TuningRecord) -> TuningSection:
    """Return the section with its lists."""
    aside, against = record.matched.set_aside, record.matched.contradictions
    blocks = []
    if aside:
        blocks.append(Block("Set aside by reason", (), None, (_codes(record),)))
        ordered = sorted(aside, key=lambda one: list(CODES).index(one.code))
        blocks.append(
            Block(
                "Set aside, one by one",
                (f"What can be put right first.{more(len(aside))}",),
                None,
                (_aside(ordered[:MOST_ROWS]),),
                is_wide=True,
            )
        )
    if against:
        words, rows = (more(len(against)).strip(),), against[:MOST_ROWS]
        blocks.append(Block("Contradictions", words, None, (_against(rows),), is_wide=True))
    heading = "Findings that do not count"
    return TuningSection(
        "findings", heading, ASKS, _answer(record), tuple(blocks), is_appendix=True
    )


def _answer(record: TuningRecord) -> str:
    aside, against = record.matched.set_aside, record.matched.contradictions
    first = (
        f"{count(len(aside), 'finding')} set aside, {record.tuned.found.counted:,} count."
        if aside
        else f"All {record.tuned.found.counted:,} findings count."
    )
    if not against:
        return f"{first} None is contradicted by another."
    return (
        f"{first} {contradict(len(against))}; a fault that was found stands against a later look "
        "that found none."
    )


def _codes(record: TuningRecord) -> Table:
    rows = [
        (f"{CODES[code]}, by {by}" if code == "guess_not_confirmed" else CODES[code], f"{number:,}")
        for code, by, number in record.tuned.found.set_aside
    ]
    return table("By reason", ("reason", "findings"), rows)


def _aside(rows: Sequence[SetAside]) -> Table:
    body = [
        (
            CODES[one.code],
            finding(one.finding),
            theme.printable(one.inspection_id),
            theme.printable(one.panel_id),
            slot(one.position),
            _guess(one),
            day(one.found_at),
            theme.printable(one.file_name),
        )
        for one in rows
    ]
    headers = ("why", "finding", "visit", "panel", "slot", "may belong to", "day", "file")
    return filled("Findings set aside", headers, body, 8, "list")


def _guess(one: SetAside) -> str:
    if one.code != "guess_not_confirmed" or one.guessed_inspection_id is None:
        return "–"
    return f"{theme.printable(one.guessed_inspection_id)}, slot {slot(one.guessed_position or 0)}"


def _against(rows: Sequence[Contradiction]) -> Table:
    body = [
        (
            f"{finding(one.finding)}, {day(one.found_at)}",
            f"{finding(one.other_finding)}, {day(one.other_found_at)}",
            theme.printable(one.inspection_id),
            theme.printable(one.panel_id),
            slot(one.position),
            KINDS.get(one.kind, one.kind),
        )
        for one in rows
    ]
    headers = ("stands", "against", "visit", "panel", "slot", "rule")
    return table("Findings that contradict", headers, body, 6, "list")
