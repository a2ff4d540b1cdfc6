"""Residuals by what should no longer matter: flat is good."""

from __future__ import annotations

from collections.abc import Sequence

from dashboards.diagnostics import APART_MIDDLE, APART_WIDTH, APART_Z, LEAST_COUNT
from dashboards.diagnostics_records import DiagnosticsRecord, Residual
from dashboards.figures import spread
from dashboards.pages.diagnostics_words import (
    Card,
    Section,
    by_name,
    decimal,
    level_words,
    most,
    order,
    rest_words,
    short,
)
from dashboards.pages.parts import Table, figure, listed, table

SUBJECTS = {
    "load": "By load, share of rating",
    "ambient": "By ambient air",
    "minutes": "By minutes under load",
    "shelter": "By shelter: which sides are open",
    "class": "By class",
    "office": "By office",
    "camera": "By camera",
    "inspector": "By inspector",
    "make": "By make",
}
ORDERED = ("load", "ambient", "minutes", "shelter")
MOST_LEVELS = 24
"""Levels drawn at most [1]; chosen for a phone; the table has all."""
ASKS = (
    "Whether what is left over, once the baseline is taken out, still depends on load, air, "
    "minutes, neighbours, or on who read it with what."
)
READ_AS = (
    "Residuals are in healthy spreads: a dot at 0 with the thick line (middle half) from −0.7 to "
    "0.7 and the thin one (middle 80 %) from −1.3 to 1.3 is as it should be; flat is good."
)


def section(record: DiagnosticsRecord, unit: str) -> Section:
    """Return the section; where nothing was screened it says so."""
    heading = "What is left over"
    if not record.residuals:
        return Section(
            "residuals", heading, ASKS, "No reading has a residual yet: nothing with a current was "
            "screened.",
        )  # fmt: skip
    found = {subject: record.residual_rows(subject) for subject in SUBJECTS}
    cards = [_card(subject, rows, unit) for subject, rows in found.items() if len(rows) > 1]
    alone = [
        f"{subject} ({level_words(subject, rows[0].level, unit)})"
        for subject, rows in found.items()
        if len(rows) == 1
    ]
    if alone:
        sentence = f"All readings are of one {listed(alone)}."
        cards.append(Card("Nothing to compare", None, sentence))
    answer = f"{departures(record, unit)} {READ_AS}"
    return Section("residuals", heading, ASKS, answer, tuple(cards))


def apart_rows(record: DiagnosticsRecord) -> list[Residual]:
    """Return the levels that stand off, the worst first, in spreads of median or of width."""
    found = [row for row in record.compared if row.is_off or row.is_wide]
    return sorted(found, key=lambda row: (-_worst(row), row.subject, row.level))


def _worst(row: Residual) -> float:
    return max(abs(row.middle) * row.is_off, abs(row.width - 1.0) * row.is_wide)


def departures(record: DiagnosticsRecord, unit: str) -> str:
    """Name the worst departures in a sentence, or say that there are none."""
    found = apart_rows(record)
    drawn = sum(row.reading_count >= LEAST_COUNT for row in record.compared)
    if not drawn:
        return f"No level has the {LEAST_COUNT} readings from which a departure could be told."
    if not found:
        return (
            f"None of the {drawn} levels with {LEAST_COUNT} readings or more stands off by more "
            "than chance and a fifth of a healthy spread."
        )
    names = listed(most([_named(row, unit) for row in found], 4))
    return f"Off among {drawn} levels: {names}."


def _named(row: Residual, unit: str) -> str:
    name = f"{row.subject} “{level_words(row.subject, row.level, unit)}”"
    words = []
    if row.is_off:
        words.append(f"median {decimal(row.middle, 2, is_signed=True)}")
    if row.is_wide:
        words.append(f"{decimal(row.width, 2)} times as wide")
    return f"{name} ({', '.join(words)})"


def _card(subject: str, rows: Sequence[Residual], unit: str) -> Card:
    if subject == "class":
        rows = sorted(rows, key=lambda row: order(row.level))
    elif subject not in ORDERED:
        rows = sorted(rows, key=lambda row: by_name(level_words(subject, row.level, unit)))
    kept = {row.level for row in sorted(rows, key=lambda row: -row.reading_count)[:MOST_LEVELS]}
    drawn = [row for row in rows if row.level in kept]
    sentence = _sentence(subject, rows, unit) + rest_words(len(drawn), len(rows))
    picture = spread.figure([_row(row, unit) for row in drawn])
    made = figure(f"residual-{subject}", sentence, picture, _table(subject, rows, unit))
    return Card(SUBJECTS[subject], made)


def _sentence(subject: str, rows: Sequence[Residual], unit: str) -> str:
    fair = [row for row in rows if row.reading_count >= LEAST_COUNT]
    if not fair:
        return f"No level has {LEAST_COUNT} readings: too few to tell."
    low, high = min(r.middle for r in fair), max(r.middle for r in fair)
    ends = f"{decimal(low, 2, is_signed=True)} to {decimal(high, 2, is_signed=True)}"
    off = [level_words(subject, r.level, unit) for r in fair if r.is_off or r.is_wide]
    if off:
        return f"Medians from {ends}; off: {listed(most(off, 5))}."
    return f"Medians from {ends}: flat."


def _row(row: Residual, unit: str) -> spread.SpreadRow:
    name = level_words(row.subject, row.level, unit)
    quantiles = (row.low_tenth, row.low_quarter, row.middle, row.high_quarter, row.high_tenth)
    words = (
        f"{name}: median {decimal(row.middle, 2, is_signed=True)}, middle 80 % from "
        f"{decimal(row.low_tenth, 2)} to {decimal(row.high_tenth, 2)}, {row.reading_count:,} "
        f"readings of {row.panel_count:,} panels"
    )
    q = [round(value, 3) for value in quantiles]
    label = name.replace(" open", "") if row.subject == "shelter" else name
    return spread.SpreadRow(
        f"{short(label)}  <b>{row.reading_count:,}</b>",
        (q[0], q[1], q[2], q[3], q[4]),
        row.is_off or row.is_wide,
        words,
    )


def _table(subject: str, rows: Sequence[Residual], unit: str) -> Table:
    headers = (
        subject, "readings", "panels", "10 %", "25 %", "median", "75 %", "90 %", "spread", "off",
    )  # fmt: skip
    body = [
        (
            level_words(subject, row.level, unit),
            f"{row.reading_count:,}",
            f"{row.panel_count:,}",
            decimal(row.low_tenth, 2),
            decimal(row.low_quarter, 2),
            decimal(row.middle, 2),
            decimal(row.high_quarter, 2),
            decimal(row.high_tenth, 2),
            decimal(row.width, 2),
            "yes" if row.is_off or row.is_wide else "no",
        )
        for row in rows
    ]
    return table(f"Residuals by {subject}, in healthy spreads", headers, body)


def rule() -> str:
    """Say when a level counts as standing off."""
    return (
        f"A level of {LEAST_COUNT} readings or more stands off where its median lies "
        f"{APART_MIDDLE:g} healthy spreads from 0, or its middle 80 % is {100 * APART_WIDTH:.0f} % "
        f"wider or narrower than healthy, and that by {APART_Z:g} standard errors or more."
    )
