"""Words that the sections of the tuning page share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from analytics.columns import CLASS_WORDS, FINDING_WORDS, VERDICT_WORDS, slot_word
from analytics.policy import TUNED, Policy
from analytics.tuning.telling import about
from dashboards import theme
from dashboards.pages.parts import Figure, Table, table

if TYPE_CHECKING:
    import datetime as dt

    from analytics.statistics.verification import Rate
    from analytics.tuning.candidates import Candidate

MOST_ROWS = 20
"""Rows of a list on the page [1]; chosen to fit a sheet of paper; --json has all."""


@dataclass(frozen=True)
class Block:
    """A part of a section: heading, sentences, a figure, tables under it.

    `is_wide` takes the whole width: tables beside the figure, or under it where there is none;
    `is_open` is never folded away.
    """

    heading: str
    sentences: tuple[str, ...] = ()
    figure: Figure | None = None
    tables: tuple[Table, ...] = ()
    is_wide: bool = False
    is_open: bool = False


@dataclass(frozen=True)
class TuningSection:
    """One question of the page: what it asks, what the answer is, and what shows it.

    What stands in the appendix comes after what is read first; `options` are to be ticked and
    `commands` to be typed.
    """

    id: str
    heading: str
    asks: str
    answer: str
    blocks: tuple[Block, ...] = ()
    is_appendix: bool = False
    commands: tuple[str, ...] = ()
    options: tuple[str, ...] = ()


def lines(one: Candidate | Policy) -> str:
    """Write where the lines of a policy lie, those that classes have of their own last."""
    names = dict.fromkeys(name for name, _, _ in one.own)
    own = [
        f"for {class_word(name)} devices "
        + ", ".join(line(key, value) for of, key, value in one.own if of == name)
        for name in names
    ]
    return "; ".join([lines_of(four(one)), *own])


def lines_of(four: tuple[float, float, float, float]) -> str:
    """Write where four lines lie: chance, heat ratio, lift [K], load of rating."""
    told = zip(TUNED, four, strict=True)
    return ", ".join(line(key, value) for key, value in told if key != "load_share" or value)


def line(key: str, value: float) -> str:
    """Write where one of the tuned lines lies."""
    return {
        "probability": f"a chance of {100 * value:g}{theme.PERCENT}",
        "heat_ratio": f"{value:g} times the usual heat"
        if value != 1
        else "more than the usual heat",
        "lift_k": f"a lift of {value:g}{theme.GAP}K",
        "load_share": f"load from {100 * value:g}{theme.PERCENT}" if value else "any load",
    }[key]


def four(one: Candidate | Policy) -> tuple[float, float, float, float]:
    """Return the four tuned lines: chance, heat ratio, lift [K], load of rating."""
    if isinstance(one, Policy):
        return one.flag_probability, one.flag_heat_ratio, one.flag_lift_k, one.flag_load_share
    return one.probability, one.heat_ratio, one.lift_k, one.load_share


def rate(one: Rate) -> str:
    """Write a share [1] with its 95 % interval; a bound as such."""
    ends = theme.interval(one.low, one.high)
    return f"between {ends.replace(' to ', ' and ')}" if one.is_bound else f"{point(one)} ({ends})"


def point(one: Rate) -> str:
    """Write a share alone; a dash where it is only a bound."""
    return theme.share(one.value)


def per_quarter(value: float) -> str:
    """Write faults or visits a quarter, one decimal under ten."""
    return f"{value:.1f}" if abs(value) < 10 else theme.number(value)


def ends(pair: Sequence[float]) -> str:
    """Write the ends of an interval of faults or visits a quarter."""
    return f"{per_quarter(pair[0])} to {per_quarter(pair[1])}"


def money(value: float) -> str:
    """Write money of the firm's own in two digits, since no more are known."""
    return about(value)


def slot(position: int) -> str:
    """Write a slot; 0 is the main breaker's."""
    return slot_word(position)


def filled(
    caption: str,
    headers: Sequence[str],
    rows: Sequence[Sequence[str]],
    text_columns: int,
    kind: str = "",
) -> Table:
    """Return a table without the columns that hold nothing but dashes."""
    kept = [i for i in range(len(headers)) if not rows or any(row[i] != "–" for row in rows)]
    body = [[row[i] for i in kept] for row in rows]
    words = sum(i < text_columns for i in kept)
    return table(caption, [headers[i] for i in kept], body, words, kind)


def finding(word: str | None) -> str:
    """Write what was found; a word that is not known as it stands."""
    return "not examined" if word is None else FINDING_WORDS.get(word, theme.printable(word))


def day(moment: dt.datetime | dt.date | None) -> str:
    """Write a day; a dash where there is none."""
    return "–" if moment is None else f"{moment:%Y-%m-%d}"


def chance(value: float) -> str:
    """Write a stated chance [1]: one decimal under a tenth, where lines may lie; never certain."""
    if value > 0.99:
        return f"over 99{theme.PERCENT}"
    return f"under 0.1{theme.PERCENT}" if value < 0.001 else theme.share(value)


def verdict(word: str) -> str:
    """Write a verdict as words."""
    return VERDICT_WORDS.get(word, theme.printable(word))


def class_word(name: str) -> str:
    """Write a device class as on the other pages."""
    return CLASS_WORDS.get(name, theme.printable(name))


def more(count: int) -> str:
    """Say how many rows a list leaves out; nothing where it has all."""
    left = count - MOST_ROWS
    return f" The first {MOST_ROWS} are listed, {left:,} more are not." if left > 0 else ""
