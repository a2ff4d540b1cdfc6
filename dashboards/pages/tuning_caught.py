"""What the policy in force catches by class, load and office: corrected, and plain beside it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from analytics.columns import CLASS_WORDS
from analytics.tuning.classes import LEAST_CLEAR, LEAST_FAULTS, WHY_NOT
from dashboards.figures import caught
from dashboards.pages.diagnostics_words import by_name, level_words, order, short
from dashboards.pages.parts import Table, count, figure, listed, table
from dashboards.pages.tuning_choice import shares
from dashboards.pages.tuning_words import Block, TuningSection, class_word, lines_of, money, rate

if TYPE_CHECKING:
    from analytics.tuning.classes import ClassLines
    from analytics.tuning.margins import Margin
    from dashboards.tuning import TuningRecord

SUBJECTS = {"class": "By class", "office": "By office", "load": "By load, share of rating"}
MOST_LEVELS = 24
"""Levels drawn at most [1]; chosen for a phone; the table has all."""
NEARLY_ALL = 0.99
"""Width of an interval [1] from which a share may be anything; chosen."""
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
    """Say which classes have lines of their own in the proposal, and why the others have not."""
    proposed = [class_word(one.device_class) for one in found if one.is_proposed]
    answer = (
        f"In the proposal: lines of their own for {listed(proposed)}."
        if proposed
        else ("No class has lines of its own in the proposal.")
    )
    words = (
        f"{answer} Both kinds of lines are chosen on half of the panels and tried on the other, "
        f"and the intervals hold for all classes tried together; {LEAST_FAULTS} faults and "
        f"{LEAST_CLEAR} examined devices not flagged are wanted in a class. One set for all is "
        "easier to defend: --shared holds the proposal to it."
    )
    rows = [
        (
            class_word(one.device_class),
            f"{one.faulty:,}",
            f"{one.examined_clear:,}",
            _saved(one),
            WHY_NOT.get(one.why_not, "in the proposal"),
        )
        for one in sorted(found, key=lambda one: -one.faulty)
    ]
    headers = (
        "class", "faults", "not flagged, examined", "saved a quarter", "so"
    )  # fmt: skip
    made = table("Lines of its own against the best shared ones", headers, rows)
    best = [
        f"Best for {class_word(one.device_class)} devices: {lines_of(one.lines)}."
        for one in found
        if one.is_told and one.lines
    ]
    return Block("Would lines by class pay", (words, *best), None, (made,), is_wide=True)


def _saved(one: ClassLines) -> str:
    if one.lines is None or one.is_same:
        return "–"
    return f"{money(one.saved)} ({money(one.low)} to {money(one.high)})"


def _place(row: Margin) -> tuple[int, object]:
    if row.subject == "class":
        return (order(row.level) if row.level in CLASS_WORDS else 99, row.level)
    return (int(row.level), "") if row.subject == "load" else (0, by_name(row.level))


def _says(found: Sequence[Margin]) -> str:
    few = min(found, key=lambda m: m.faulty)
    rest = (
        f" Thinnest evidence: {_level(few)}, {count(few.faulty, 'fault')} among "
        f"{few.examined:,} examined."
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


def _known(row: Margin) -> str:
    """Write the corrected share; one that may be anything is unknown."""
    if not row.faulty:
        return "no fault found"
    share = row.sensitivity
    is_open = share.high - share.low > NEARLY_ALL
    return "unknown" if is_open else rate(share)


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
            _known(row),
            rate(row.naive) if row.faulty else "–",
            f"{row.faulty:,}",
            f"{row.examined:,}",
            f"{row.flagged:,}",
            f"{row.examined_clear:,} of {row.clear:,}",
        )
        for row in rows
    ]
    return table(caption, headers, body)
