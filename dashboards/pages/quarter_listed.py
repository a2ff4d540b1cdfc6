"""All flagged and all over-limit devices as compact tables, and what became of each."""

from __future__ import annotations

from analytics.columns import FINDINGS
from dashboards import theme
from dashboards.pages.parts import Table, table
from dashboards.pages.quarter_words import class_word, slot_words
from dashboards.quarter_listed import Listed
from dashboards.quarter_records import QuarterRecord

MOST_LISTED = 150
"""Rows of a table on the page, at most; chosen: three sheets of paper. The CSV beside has all."""


def status(one: Listed) -> str:
    """Say whether the device was examined yet, by whom, and what was found."""
    if one.finding is None:
        return "Not examined yet."
    found = FINDINGS.get(one.finding, one.finding)
    when = f" on {one.found_at.date().isoformat()}" if one.found_at else ""
    if one.is_licensed:
        return f"Examined{when} by a licensed electrician: {found}."
    return (
        f"Looked at{when} by someone without a licence: {found}. Still to be examined by a "
        "licensed electrician."
    )


def flagged_table(record: QuarterRecord, scale: theme.RiseScale) -> Table | None:
    """Return every flagged device in the order of the cases; None where there is none."""
    rows = [one for one in record.listed if one.is_flagged]
    return _table("flagged", rows, scale) if rows else None


def over_table(record: QuarterRecord, scale: theme.RiseScale) -> Table | None:
    """Return every device over the current limit, the most loaded first; None without one."""
    rows = [one for one in record.listed if one.is_over]
    rows.sort(key=lambda one: (not one.is_open, -(one.load_fraction or 0.0)))
    return _table("over the limit", rows, scale) if rows else None


def heading(what: str, number: int) -> str:
    """Return the words to unfold a table of so many devices by: All 25 flagged."""
    if number > MOST_LISTED:
        return f"The first {MOST_LISTED} of {number:,} {what} (flagged_and_over.csv has all)"
    return f"The one {what}" if number == 1 else f"All {number:,} {what}"


def _table(what: str, rows: list[Listed], scale: theme.RiseScale) -> Table:
    headers = (
        "panel", "slot", "class", "office", "verdict", "examined", "load",
        f"rise, {scale.symbol}", f"termination, {scale.symbol}",
    )  # fmt: skip
    body = [
        (
            one.panel_id,
            slot_words(one.position, one.poles).removeprefix("slots ").removeprefix("slot "),
            class_word(one.device_class),
            one.office_id or "–",
            theme.MARKS[one.verdict].word,
            _examined(one),
            "–" if one.load_fraction is None else theme.share(one.load_fraction),
            theme.number(scale.shown(one.rise_k)),
            "–"
            if one.termination_rise_k is None
            else theme.number(scale.shown(one.termination_rise_k)),
        )
        for one in rows[:MOST_LISTED]
    ]
    return table(f"Devices {what}, those not examined yet first", headers, body, text_columns=6)


def _examined(one: Listed) -> str:
    if one.finding is None:
        return "not yet"
    found = one.finding.replace("_", " ")
    when = f"{one.found_at.date().isoformat()}, " if one.found_at else ""
    return f"{when}{found}" if one.is_licensed else f"not yet; {found}, not by a licensed one"
