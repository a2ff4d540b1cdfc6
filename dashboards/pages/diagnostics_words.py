"""Words and numbers that the sections of the diagnostics page share."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from analytics import units
from analytics.columns import CLASS_WORDS, LOAD_WORDS
from dashboards import theme
from dashboards.diagnostics_records import NORMAL_95
from dashboards.pages.parts import Figure, Table

MINUTE_WORDS = (
    "not noted",
    "under 7.5",
    "7.5 to 12.5",
    "12.5 to 17.5",
    "17.5 to 22.5",
    "22.5 to 27.5",
    "27.5 to 32.5",
    "32.5 to 40",
    "40 to 50",
    "50 to 70",
    "70 or more",
)
"""Words of the bands of minutes under load 0 to 10, as the macro minute_band has them."""
ENDS = ("", "one end", "both ends")
AMBIENT_STEP = 5.0
"""Width of a band of ambient air [K], as marts.diagnostics_residual has it."""
NAME_LETTERS = 22


@dataclass(frozen=True)
class Card:
    """A part of a section: heading, a figure or a sentence, and tables of their own."""

    heading: str
    figure: Figure | None = None
    sentence: str = ""
    tables: tuple[Table, ...] = ()


@dataclass(frozen=True)
class Section:
    """One question of the page: what it asks, what the answer is, figures and tables.

    `legend` names tones of fill: (colour, words); `tables` stand below at full width.
    """

    id: str
    heading: str
    asks: str
    answer: str
    cards: tuple[Card, ...] = ()
    legend: tuple[tuple[str, str], ...] = ()
    tables: tuple[Table, ...] = ()


def decimal(value: float | None, digits: int = 1, *, is_signed: bool = False) -> str:
    """Write a number with its decimals and a true minus; a dash where there is none."""
    if value is None or not math.isfinite(value):
        return "–"
    text = f"{value:{'+' if is_signed else ''},.{digits}f}"
    if float(text.replace(",", "")) == 0.0:
        text = text.lstrip("+-")
    return text.replace("-", "−")


def around(value: float, error: float, digits: int = 1) -> str:
    """Write an estimate with its 95 % interval from a standard error."""
    half = NORMAL_95 * error
    return f"{decimal(value - half, digits)} to {decimal(value + half, digits)}"


def group_words(device_class: str, is_multi_pole: bool) -> str:
    """Name a class and its poles in a word or two."""
    name = CLASS_WORDS.get(device_class, device_class)
    return f"{name} (2 poles)" if is_multi_pole and device_class != "main" else name


def ambient_words(band: int, unit: str) -> str:
    """Name a band of ambient air in whole degrees of the unit shown."""
    low, high = (units.from_degc(AMBIENT_STEP * (band + i), unit) for i in (0, 1))
    return f"{decimal(low, 0)} to {decimal(high, 0)}{theme.GAP}{units.UNIT_SYMBOL[unit]}"


def shelter_words(level: int) -> str:
    """Name the way a device is hemmed in; the level counts open ends, 3 across, 6 the main."""
    places = [ENDS[level % 3], "across" if level // 3 % 2 else ""]
    spots = ", ".join(place for place in places if place)
    words = f"{spots} open" if spots else "closed in"
    return f"{words}, under main" if level // 6 else words


def level_words(subject: str, level: str, unit: str) -> str:
    """Name a level of a subject."""
    if subject == "load":
        return LOAD_WORDS[int(level) - 1]
    if subject == "minutes":
        return MINUTE_WORDS[int(level)]
    if subject == "ambient":
        return ambient_words(int(level), unit)
    if subject == "shelter":
        return shelter_words(int(level))
    if subject == "class":
        return CLASS_WORDS.get(level, level)
    return theme.printable(level)


def short(name: str) -> str:
    """Cut a name so that it leaves a figure its room, harmless in it."""
    return theme.safe_text(name, NAME_LETTERS)


def order(device_class: str) -> int:
    """Return the place of a class in the order in which classes are listed."""
    return list(CLASS_WORDS).index(device_class)


def by_name(name: str) -> list[tuple[bool, int, str]]:
    """Order names as people do: camera-2 before camera-10."""
    parts = re.split(r"([0-9]+)", name)
    return [(not p.isdecimal(), int(p) if p.isdecimal() else 0, p) for p in parts if p]


def rest_words(drawn: int, whole: int) -> str:
    """Say that a figure shows not all, where it does not."""
    return f" The {drawn} with the most readings are drawn." if drawn < whole else ""


def code_words(code: str) -> str:
    """Write a code as words."""
    return code.replace("_", " ")


def most(rows: Sequence[str], count: int = 3) -> list[str]:
    """Return the first words and how many more there are."""
    more = len(rows) - count
    return [*rows[:count], f"{more} more"] if more > 0 else list(rows)
