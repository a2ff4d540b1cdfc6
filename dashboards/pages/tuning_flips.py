"""Which past verdicts other lines would turn over, both ways, with what was found of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from analytics.columns import FINDING_WORDS
from dashboards import theme
from dashboards.pages.parts import Table, count, table
from dashboards.pages.tuning_words import (
    MOST_ROWS,
    Block,
    TuningSection,
    class_word,
    day,
    finding,
    lines,
    more,
    slot,
    verdict,
)

if TYPE_CHECKING:
    from analytics.tuning.against import Flip
    from dashboards.tuning import TuningRecord

TURNS = {"newly flagged": "Newly flagged", "no longer flagged": "No longer flagged"}
UNJUDGED = "cannot_judge"
FAULTS = ("loose_connection", "device_fault")
ASKS = "Which past verdicts would read otherwise, judged anew from the same readings and baseline."


def section(record: TuningRecord) -> TuningSection:
    """Return the section; without another policy it says so."""
    heading = "What would flip"
    if record.proposed is None:
        return TuningSection(
            "flips", heading, ASKS, "No other policy is proposed, so no past verdict turns."
        )
    if record.flips is None:
        return TuningSection("flips", heading, ASKS, record.trouble)
    blocks = [_found(record.flips.flips), _classes(record.flips.flips)]
    blocks += [_block(turn, _of(record.flips.flips, turn)) for turn in TURNS]
    return TuningSection("flips", heading, ASKS, _answer(record), tuple(blocks))


def counted(record: TuningRecord) -> tuple[int, int]:
    """Return how many past readings would be newly flagged and no longer flagged."""
    flips = record.flips.flips if record.flips else ()
    newly, no_longer = (len(_of(flips, turn)) for turn in TURNS)
    return newly, no_longer


def unjudged(record: TuningRecord) -> int:
    """Return how many of the newly flagged had not been judged."""
    flips = record.flips.flips if record.flips else ()
    return sum(one.verdict == UNJUDGED for one in _of(flips, "newly flagged"))


def _of(flips: Sequence[Flip], turn: str) -> list[Flip]:
    return [one for one in flips if one.turn == turn]


def _answer(record: TuningRecord) -> str:
    assert record.proposed is not None
    assert record.flips is not None
    newly, no_longer = counted(record)
    return (
        f"With {lines(record.proposed)} ({theme.printable(record.proposed.version)}) in place of "
        f"{theme.printable(record.flips.former_version)}, "
        f"{count(newly, 'past reading')} would be newly flagged and {no_longer:,} no longer. Of "
        f"the newly flagged {unjudged(record):,} had not been judged before: for them that "
        "is the first word."
    )


def _found(flips: Sequence[Flip]) -> Block:
    made = _tally(flips, [*FINDING_WORDS, None], lambda one: one.finding, finding, "found")
    return Block("By what was found", (), None, (made,))


def _classes(flips: Sequence[Flip]) -> Block:
    names = sorted({one.device_class for one in flips}, key=class_word)
    made = _tally(flips, names, lambda one: one.device_class, class_word, "class")
    return Block("By class", (), None, (made,))


def _tally(
    flips: Sequence[Flip],
    kinds: Sequence[Any],
    kind_of: Callable[[Flip], Any],
    words: Callable[[Any], str],
    name: str,
) -> Table:
    """Count the flips both ways by kind."""
    counts = [Counter(kind_of(one) for one in _of(flips, turn)) for turn in TURNS]
    rows = [(words(kind), *(f"{each[kind]:,}" for each in counts)) for kind in kinds]
    rows.append(("in all", *(f"{each.total():,}" for each in counts)))
    return table(f"Flips by {name}", (name, *(turn.lower() for turn in TURNS.values())), rows)


def _block(turn: str, rows: Sequence[Flip]) -> Block:
    if not rows:
        return Block(TURNS[turn], ("None.",), is_wide=True)
    seen = sum(one.finding is not None for one in rows)
    faulty = sum(one.finding in FAULTS for one in rows)
    # Those with a finding are what a meeting can argue about, so they stand first.
    ordered = sorted(rows, key=lambda one: (one.finding is None, -one.probability, one.reading_id))
    words = (
        f"{count(len(rows), 'reading')}; {seen:,} of them examined, {faulty:,} faulty; those with "
        f"a finding first.{more(len(rows))}"
    )
    return Block(TURNS[turn], (words,), None, (_table(turn, ordered[:MOST_ROWS]),), is_wide=True)


def _table(turn: str, rows: Sequence[Flip]) -> Table:
    headers = (
        "found", "visit", "panel", "slot", "day", "class", "verdict", "becomes",
        "chance", "heat ratio", "load",
    )  # fmt: skip
    body = [
        (
            finding(one.finding),
            theme.printable(one.inspection_id),
            theme.printable(one.panel_id),
            slot(one.position),
            day(one.inspected_at),
            class_word(one.device_class),
            verdict(one.verdict),
            verdict(one.new_verdict),
            theme.chance(one.probability),
            "–" if one.heat_ratio is None else f"{one.heat_ratio:.1f}",
            "–" if one.load_fraction is None else theme.share(one.load_fraction),
        )
        for one in rows
    ]
    return table(f"{TURNS[turn]}, {len(rows):,} of them", headers, body, text_columns=8)
