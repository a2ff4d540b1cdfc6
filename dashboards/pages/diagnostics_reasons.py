"""What contradicts itself, and what was not kept, by reason."""

from __future__ import annotations

from collections.abc import Sequence

from dashboards import theme
from dashboards.diagnostics_records import DiagnosticsRecord, Reason
from dashboards.figures import tally
from dashboards.pages.diagnostics_words import Card, Section, code_words, rest_words
from dashboards.pages.parts import Figure, count, figure, table

MOST_CODES = 12
"""Reasons drawn at most [1]; chosen for a phone; the table has all."""
ASKS = "Which readings contradict themselves, and which rows were not kept at all."


def section(record: DiagnosticsRecord) -> Section:
    """Return the section; it speaks of what was read in, judged or not."""
    heading = "Rechecks and quarantine"
    cards = []
    if record.rechecks:
        cards.append(Card("To take or look up again", _figure("recheck", record.rechecks)))
    if record.quarantined:
        cards.append(Card("Not kept", _figure("quarantine", record.quarantined)))
    return Section("reasons", heading, ASKS, _answer(record), tuple(cards))


def _answer(record: DiagnosticsRecord) -> str:
    words = []
    counts = record.counts
    if counts is not None and counts.reading_count:
        share = theme.share(counts.recheck_count / counts.reading_count)
        are = "contradicts itself" if counts.recheck_count == 1 else "contradict themselves"
        words.append(
            f"{count(counts.recheck_count, 'reading')} ({share}) {are}; they teach nothing."
            if counts.recheck_count
            else "No reading contradicts itself."
        )
    if record.quarantined:
        first = record.quarantined[0]
        words.append(
            f"Rows were not kept for {count(len(record.quarantined), 'reason')}, most often "
            f"“{code_words(first.code)}” ({count(first.row_count, 'row')})."
        )
    else:
        words.append("No row waits in quarantine.")
    return " ".join(words)


def _figure(name: str, rows: Sequence[Reason]) -> Figure:
    is_recheck = name == "recheck"
    noun = "reading" if is_recheck else "row"
    drawn = rows[:MOST_CODES]
    sentence = f"Number of {noun}s by reason; one with two reasons counts under both."
    if len(drawn) < len(rows):
        sentence += rest_words(len(drawn), len(rows)).replace("with the most readings", "commonest")
    picture = tally.figure(
        [
            tally.TallyRow(
                code_words(row.code), row.row_count, f"{row.row_count:,}, such as: {row.sentence}"
            )
            for row in drawn
        ],
        theme.UMBER if is_recheck else theme.GREY,
    )
    body = [(code_words(row.code), row.sentence, f"{row.row_count:,}") for row in rows]
    headers = ("code", "what was noticed, for example", f"{noun}s")
    made = table("By reason", headers, body, text_columns=2)
    return figure(f"reasons-{name}", sentence, picture, made)
