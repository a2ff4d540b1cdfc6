"""What the policy in force catches by class, load and office: corrected, and plain beside it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from analytics.columns import CLASS_WORDS
from analytics.tuning.classes import LEAST_CLEAR, LEAST_FAULTS
from dashboards.figures import caught
from dashboards.pages.diagnostics_words import by_name, level_words, order, short
from dashboards.pages.parts import Table, count, figure, listed, table
from dashboards.pages.tuning_choice import shares
from dashboards.pages.tuning_words import Block, TuningSection, class_word, money, rate

if TYPE_CHECKING:
    from analytics.tuning.classes import ClassLines
    from analytics.tuning.margins import Margin
    from dashboards.tuning import TuningRecord

SUBJECTS = {"class": "By class", "office": "By office", "load": "By load, share of rating"}
MOST_LEVELS = 24
"""Levels drawn at most [1]; chosen for a phone; the table has all."""
ASKS = (
    "What share of the faults the policy in force flags, corrected for who was examined; beside it "
    "the share among the examined alone, which flatters."
)


def section(record: TuningRecord) -> TuningSection:
    """Return the section: one block a subject."""
    shown = [(name, [m for m in record.tuned.margins if m.subject == name]) for name in SUBJECTS]
    blocks = [_block(name, rows) for name, rows in shown if rows]
    if record.tuned.classes:
        blocks.append(_own_lines(record.tuned.classes))
    heading = "What is caught, and what is not"
    return TuningSection("caught", heading, ASKS, _answer(record), tuple(blocks), is_appendix=True)


def _answer(record: TuningRecord) -> str:
    tuned = record.tuned
    caught, vain = shares(record)
    text = rate(caught)
    start = (
        f"{text[0].upper() + text[1:]} of the faults are flagged; among the examined alone "
        f"{rate(tuned.naive_sensitivity)}. Of sound devices "
        f"{rate(tuned.in_force.false_alarm_share)} are flagged, of the flagged {rate(vain)} are "
        "sound. Classes, offices and loads are corrected each for itself, so they need not average "
        "to these."
    )
    blind = [m for m in tuned.margins if m.faulty and m.clear and not m.examined_clear]
    if not blind:
        return start
    names = listed([f"{one.subject} {_level(one)}" for one in blind[:4]])
    return (
        f"{start} Only two ends are known, since no device that was not flagged was examined: "
        f"{names}."
    )


def _block(subject: str, rows: Sequence[Margin]) -> Block:
    ordered = sorted(rows, key=_place)
    found = [row for row in ordered if row.faulty]
    made = _table(SUBJECTS[subject], ordered)
    if not found:
        return Block(SUBJECTS[subject], ("No fault was found yet.",), None, (made,))
    drawn = caught.figure([_row(row) for row in found[:MOST_LEVELS]])
    return Block(SUBJECTS[subject], (), figure(f"caught-{subject}", _says(found), drawn, made))


def _own_lines(found: Sequence[ClassLines]) -> Block:
    """Say whether a class would gain by lines of its own."""
    told = [class_word(one.device_class) for one in found if one.is_told]
    answer = f"They would pay for {listed(told)}." if told else "No class is told to gain."
    words = (
        f"{answer} Both kinds of lines are chosen on half of the panels and tried on the other, "
        f"and the intervals hold for all classes tried together; {LEAST_FAULTS} faults and "
        f"{LEAST_CLEAR} examined devices not flagged are wanted in a class. A policy holds one set "
        "of lines."
    )
    rows = [
        (
            class_word(one.device_class),
            f"{one.faulty:,}",
            f"{one.examined_clear:,}",
            _saved(one),
        )
        for one in sorted(found, key=lambda one: -one.faulty)
    ]
    headers = ("class", "faults", "not flagged, examined", "saved a quarter")
    made = table("Lines of its own against the best shared ones", headers, rows)
    return Block("Would lines by class pay", (words,), None, (made,))


def _saved(one: ClassLines) -> str:
    if one.lines is None:
        return "too few findings"
    if one.is_same:
        return "the same lines"
    return f"{money(one.saved)} ({money(one.low)} to {money(one.high)})"


def _place(row: Margin) -> tuple[int, object]:
    if row.subject == "class":
        return (order(row.level) if row.level in CLASS_WORDS else 99, row.level)
    return (int(row.level), "") if row.subject == "load" else (0, by_name(row.level))


def _says(found: Sequence[Margin]) -> str:
    few = min(found, key=lambda m: m.faulty)
    rest = (
        f" Fewest: {_level(few)}, {count(few.faulty, 'fault')} among {few.examined:,} examined."
        if len(found) > 1
        else ""
    )
    bound = (
        " A grey bar is all that is known." if any(m.sensitivity.is_bound for m in found) else ""
    )
    return (
        "Faults that are flagged: dot and line the corrected share with its 95 % interval, open "
        f"diamond the plain one.{bound}{rest}"
    )


def _level(row: Margin) -> str:
    return level_words(row.subject, row.level, "degC")


def _row(row: Margin) -> caught.CaughtRow:
    share = row.sensitivity
    return caught.CaughtRow(
        short(_level(row)),
        None if share.is_bound else 100 * share.value,
        100 * share.low,
        100 * share.high,
        None if row.naive.is_bound else 100 * row.naive.value,
        f"{_level(row)}: {rate(share)} corrected, {rate(row.naive)} plain; {row.faulty:,} faults "
        f"among {row.examined:,} examined",
    )


def _table(caption: str, rows: Sequence[Margin]) -> Table:
    headers = (
        "level", "corrected", "examined alone", "faults", "examined", "flagged",
        "not flagged, examined",
    )  # fmt: skip
    body = [
        (
            _level(row),
            rate(row.sensitivity) if row.faulty else "no fault found",
            rate(row.naive) if row.faulty else "–",
            f"{row.faulty:,}",
            f"{row.examined:,}",
            f"{row.flagged:,}",
            f"{row.examined_clear:,} of {row.clear:,}",
        )
        for row in rows
    ]
    return table(caption, headers, body)
