"""All flagged and all over-limit devices as compact tables, and what became of each."""

from __future__ import annotations

from dataclasses import replace

from analytics.columns import FINDINGS
from dashboards import theme
from dashboards.pages.parts import Table, table
from dashboards.pages.quarter_words import any_limit, class_word, continuous_limit, slot_words
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


SHORT = {
    "suspect_connection": "suspected",
    "overload": "overload",
    "overload_and_connection": "both",
}
"""Verdict -> its word beside its mark; the legend has the long ones."""


def flagged_table(record: QuarterRecord, scale: theme.RiseScale) -> Table | None:
    """Return every flagged device in the order of the cases; None where there is none."""
    rows = [one for one in record.listed if one.is_flagged]
    if not rows:
        return None
    caption = "Devices flagged, those not examined yet first"
    if record.known.known_on is not None:
        until = record.known.known_on.isoformat()
        caption += f"; days waited are counted to {until}, the latest day in the store"
    cells = [_waited(one) for one in rows]
    return _table(caption, rows, scale, ("waits, days", cells))


def over_table(record: QuarterRecord, scale: theme.RiseScale) -> Table | None:
    """Return every device over the current limit, the most loaded first; None without one."""
    rows = [one for one in record.listed if one.is_over]
    if not rows:
        return None
    rows.sort(key=lambda one: (not one.is_open, -(one.load_fraction or 0.0)))
    caption = (
        f"Devices over the limit, those not examined yet first: over {any_limit(record.policy)} "
        f"refer; over {continuous_limit(record.policy)} ask whether the load runs three hours"
    )
    return _table(caption, rows, scale, ("to do", [_do(one) for one in rows]))


def heading(what: str, number: int) -> str:
    """Return the words to unfold a table of so many devices by: All 25 flagged."""
    if number > MOST_LISTED:
        return f"The first {MOST_LISTED} of {number:,} {what} (flagged_and_over.csv has all)"
    return f"The one {what}" if number == 1 else f"All {number:,} {what}"


def _table(
    caption: str, rows: list[Listed], scale: theme.RiseScale, last: tuple[str, list[str]]
) -> Table:
    headers = (
        "panel", "slot", "class", "verdict", "date", "office", "inspector", "inspection",
        "examined", "load", f"rise, {scale.symbol}", f"termination, {scale.symbol}", "chance",
        last[0],
    )  # fmt: skip
    body = [
        (*_row(one, scale), word)
        for one, word in zip(rows[:MOST_LISTED], last[1][:MOST_LISTED], strict=True)
    ]
    verdicts = tuple(one.verdict for one in rows[:MOST_LISTED])
    return replace(table(caption, headers, body, text_columns=9), verdicts=verdicts)


def _row(one: Listed, scale: theme.RiseScale) -> tuple[str, ...]:
    termination = one.termination_rise_k
    return (
        one.panel_id,
        slot_words(one.position, one.poles)
        .removeprefix("slots ")
        .removeprefix("slot ")
        .replace(" and ", ", "),
        class_word(one.device_class),
        SHORT[one.verdict],
        one.inspected_at.date().isoformat(),
        one.office_id or "–",
        one.inspector_id or "–",
        one.inspection_id,
        _examined(one),
        "–" if one.load_fraction is None else theme.share(one.load_fraction),
        theme.number(scale.shown(one.rise_k)),
        "–" if termination is None else theme.number(scale.shown(termination)),
        "–" if one.probability is None else theme.chance(one.probability),
    )


def _waited(one: Listed) -> str:
    return "–" if one.waiting_days is None else f"{one.waiting_days:,}"


def _do(one: Listed) -> str:
    if not one.is_open:
        return "–"
    return "refer" if one.is_over_rating or one.has_run_long or one.is_flagged else "ask"


def _examined(one: Listed) -> str:
    if one.finding is None:
        return "no"
    found = one.finding.replace("_", " ")
    when = f"{one.found_at.date().isoformat()}, " if one.found_at else ""
    return f"{when}{found}" if one.is_licensed else f"no ({found}, without a licence)"
