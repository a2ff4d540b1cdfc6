"""What share of readings could not be judged, why, and what would settle it."""

from __future__ import annotations

from collections.abc import Sequence

from dashboards import theme
from dashboards.diagnostics_records import DiagnosticsRecord, Unjudged
from dashboards.figures import parted
from dashboards.pages.diagnostics_words import (
    Card,
    Section,
    by_name,
    level_words,
    order,
    rest_words,
    short,
)
from dashboards.pages.parts import Table, count, figure, table

SUBJECTS = {"class": "By class", "office": "By office"}
MOST_LEVELS = 24
"""Levels drawn at most [1]; chosen for a phone; the table has all."""
ASKS = "What share of readings got no verdict, for what reason, and what would settle them."
REST = "other"


def section(record: DiagnosticsRecord) -> Section:
    """Return the section; where nothing was screened it says so."""
    heading = "What could not be judged"
    whole = [row for row in record.unjudged if row.subject == "whole"]
    steps = [row for row in whole if row.next_step is not None]
    if record.counts is None or not whole:
        return Section("unjudged", heading, ASKS, "No reading has been screened yet.")
    if not steps:
        answer = "Every reading that does not contradict itself could be judged."
        return Section("unjudged", heading, ASKS, answer)
    parts = _parts(steps)
    cards = [Card("In all", None, "", (_whole_table(steps),))]
    cards += [_card(subject, record.unjudged, parts) for subject in SUBJECTS]
    legend = tuple(zip(parted.TONES, parts, strict=False))
    return Section("unjudged", heading, ASKS, _answer(steps), tuple(cards), legend)


def _parts(steps: Sequence[Unjudged]) -> list[str]:
    """Return the steps that have a tone of their own, the most frequent first, then the rest."""
    names = [str(row.next_step) for row in steps]
    room = len(parted.TONES)
    return names if len(names) <= room else [*names[: room - 1], REST]


def _answer(steps: Sequence[Unjudged]) -> str:
    total = steps[0].total_count
    unjudged = sum(row.reading_count for row in steps)
    first = steps[0]
    return (
        f"{count(unjudged, 'reading')} of {total:,} ({theme.share(unjudged / total)}) could not be "
        f"judged, which says nothing for or against the devices. What would settle most of them, "
        f"{theme.share(first.reading_count / unjudged)}: {first.next_step}"
    )


def _whole_table(steps: Sequence[Unjudged]) -> Table:
    rows = [
        (
            str(row.next_step),
            str(row.reason),
            f"{row.reading_count:,}",
            theme.share(row.reading_count / row.total_count),
        )
        for row in steps
    ]
    headers = ("what would settle it", "reason given, for example", "readings", "share of all")
    return table("Readings that could not be judged", headers, rows, text_columns=2)


def _card(subject: str, rows: Sequence[Unjudged], parts: Sequence[str]) -> Card:
    mine = [row for row in rows if row.subject == subject]
    totals = {row.level: row.total_count for row in mine}
    levels = sorted(totals, key=order if subject == "class" else by_name)
    kept = set(sorted(levels, key=lambda level: -totals[level])[:MOST_LEVELS])
    drawn = [level for level in levels if level in kept]
    shares = {level: _shares(level, mine, parts) for level in levels}
    sentence = _sentence(subject, shares) + rest_words(len(drawn), len(levels))
    picture = parted.figure([_row(subject, x, totals[x], shares[x], parts) for x in drawn])
    headers = (subject, "readings", *parts, "not judged")
    body = [
        (
            level_words(subject, level, "degC"),
            f"{totals[level]:,}",
            *(theme.share(share) for share in shares[level]),
            theme.share(sum(shares[level])),
        )
        for level in levels
    ]
    made = table(f"Share not judged by {subject}, by what would settle it", headers, body)
    return Card(SUBJECTS[subject], figure(f"unjudged-{subject}", sentence, picture, made))


def _shares(level: str, rows: Sequence[Unjudged], parts: Sequence[str]) -> list[float]:
    """Return the share of the level's readings [1] that each part would settle."""
    found = dict.fromkeys(parts, 0.0)
    for row in rows:
        if row.level == level and row.next_step is not None:
            part = row.next_step if row.next_step in found else REST
            found[part] += row.reading_count / row.total_count
    return list(found.values())


def _sentence(subject: str, shares: dict[str, list[float]]) -> str:
    whole = {level: sum(parts) for level, parts in shares.items()}
    low, high = (f(whole, key=lambda level: whole[level]) for f in (min, max))
    if len(whole) < 2:
        return f"All readings are of one {subject}: {theme.share(whole[low])} not judged."
    return (
        f"Share not judged: from {theme.share(whole[low])} ({level_words(subject, low, 'degC')}) "
        f"to {theme.share(whole[high])} ({level_words(subject, high, 'degC')})."
    )


def _row(
    subject: str, level: str, total: int, shares: Sequence[float], parts: Sequence[str]
) -> parted.PartedRow:
    name = level_words(subject, level, "degC")
    words = [
        f"{name}: {theme.share(share)} of {total:,}. {part}"
        for share, part in zip(shares, parts, strict=True)
    ]
    label = f"{short(name)}  <b>{total:,}</b>"
    return parted.PartedRow(label, [round(100 * share, 2) for share in shares], words)
