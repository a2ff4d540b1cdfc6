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
    chance,
    class_word,
    day,
    finding,
    lines,
    more,
    slot,
    verdict,
)

if TYPE_CHECKING:
    from analytics.tuning.against import Flip, Turn
    from dashboards.tuning import TuningRecord

TURNS = {"newly flagged": "Newly flagged", "no longer flagged": "No longer flagged"}
JUDGED = ("cannot_judge", "normal")
FAULTS = ("loose_connection", "device_fault")
ASKS = "Which past verdicts would read otherwise, judged anew from the same readings and baseline."


def section(record: TuningRecord) -> TuningSection:
    """Return the section; without another policy it says so."""
    heading = "What would change"
    if record.proposed is None:
        return TuningSection(
            "flips", heading, ASKS, "No other policy is proposed, so no past verdict turns."
        )
    if record.flips is None:
        return TuningSection("flips", heading, ASKS, record.trouble)
    return TuningSection("flips", heading, ASKS, _answer(record), (_turns(record),))


def listed(record: TuningRecord) -> TuningSection:
    """Return the readings whose flag would change, one by one, for the appendix."""
    heading, asks = (
        "Readings whose flag would change",
        "Those found faulty stand first, then the other examined ones.",
    )
    rows = record.flips.flips if record.flips else ()
    both = (_found(rows), _classes(rows)) if rows else ()
    blocks = (*both, *(_block(turn, found) for turn in TURNS if (found := _of(rows, turn))))
    answer = f"{count(len(rows), 'past reading')} would change its flag." if rows else "None."
    answer = answer if len(rows) == 1 else answer.replace("its flag", "their flag")
    return TuningSection("flags", heading, asks, answer, blocks, is_appendix=True)


def _of(flips: Sequence[Flip], turn: str) -> list[Flip]:
    return [one for one in flips if one.turn == turn]


def _answer(record: TuningRecord) -> str:
    assert record.proposed is not None
    assert record.flips is not None
    whose = "the policy given" if record.is_given else "the policy proposed"
    named = f" ({theme.printable(record.proposed.version)})" if record.is_given else ""
    return (
        f"By {whose}, {lines(record.proposed)}{named}, in place of "
        f"{theme.printable(record.flips.former_version)}: {record.flips.sentence}"
    )


def _turns(record: TuningRecord) -> Block:
    """Count every verdict that would change, from which to which."""
    assert record.flips is not None
    rows: list[tuple[str, ...]] = [
        (
            verdict(one.verdict),
            verdict(one.new_verdict),
            "flag" if one.is_flag_changed else "–",
            f"{one.readings:,}",
            f"{one.examined:,}",
            f"{one.faulty:,}",
        )
        for one in record.flips.turns
    ]
    turns = record.flips.turns
    sums = (sum(getattr(one, name) for one in turns) for name in ("readings", "examined", "faulty"))
    rows.append(("in all", "–", "–", *(f"{one:,}" for one in sums)))
    headers = ("verdict", "becomes", "changes", "readings", "examined", "faulty")
    made = table("Every past verdict that would change", headers, rows, text_columns=3)
    return Block("From which verdict to which", _judged(turns), None, (made,), is_wide=True)


def _judged(turns: Sequence[Turn]) -> tuple[str, ...]:
    """Explain how a reading that could not be judged comes to count as usual, and that it may."""
    found = [one for one in turns if (one.verdict, one.new_verdict) == JUDGED]
    if not found:
        return ()
    one = found[0]
    return (
        f"{count(one.readings, 'reading')} would count as judged: lower lines notice smaller "
        "faults, so less load is enough to notice one, and these readings show none. That is no "
        f"finding that they are sound: {one.faulty:,} of the {one.examined:,} examined were "
        "faulty.",
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
    seen = sum(one.finding is not None for one in rows)
    faulty = sum(one.finding in FAULTS for one in rows)
    # Those with a finding are what a meeting can argue about, so they stand first.
    ordered = sorted(rows, key=_place)
    words = (
        f"{count(len(rows), 'reading')}; {seen:,} of them examined, {faulty:,} faulty; the "
        f"faulty ones first, then the other examined ones.{more(len(rows))}"
    )
    return Block(TURNS[turn], (words,), None, (_table(turn, ordered[:MOST_ROWS]),), is_wide=True)


def _place(one: Flip) -> tuple[bool, bool, float, int]:
    """Return where a flip stands: faulty, other examined, then the rest, the likelier first."""
    return (one.finding not in FAULTS, one.finding is None, -one.probability, one.reading_id)


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
            chance(one.probability),
            "–" if one.heat_ratio is None else f"{one.heat_ratio:.1f}",
            "–" if one.load_fraction is None else theme.share(one.load_fraction),
        )
        for one in rows
    ]
    return table(f"{TURNS[turn]}, {len(rows):,} of them", headers, body, 8, "list")
