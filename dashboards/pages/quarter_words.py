"""How the quarterly page writes amounts, and its words for kinds of subject."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable

from analytics.columns import CLASS_WORDS
from analytics.policy import Policy
from dashboards import theme
from dashboards.pages.parts import listed
from dashboards.quarter_records import QuarterRecord

PLURAL = {
    "class": "classes",
    "office": "offices",
    "camera": "cameras",
    "inspector": "inspectors",
    "make": "makes",
}


LONG_WORDS = {
    "dual_function": "dual-function",
    "surge_protector": "surge protector",
    "energy_monitor": "energy monitor",
    "other_electronic": "other electronic",
}
"""Class -> its word where there is room: the short one says little by itself."""


def amount(value: float, digits: int = 1, *, is_signed: bool = False) -> str:
    """Write a number with its decimals and a true minus; a dash where there is none."""
    if not math.isfinite(value):
        return "–"
    text = f"{value:+,.{digits}f}" if is_signed else f"{value:,.{digits}f}"
    return text.lstrip("+-") if not text.strip("+-0.") else text.replace("-", "−")


def span(low: float, high: float, digits: int = 1, *, is_signed: bool = False) -> str:
    """Write an interval; a dash where there is none."""
    if not (math.isfinite(low) and math.isfinite(high)):
        return "–"
    ends = (amount(end, digits, is_signed=is_signed) for end in (low, high))
    return " to ".join(ends)


def points(share: float) -> str:
    """Write a difference of shares [1] in percentage points."""
    return amount(100 * share, 2, is_signed=True)


def shown_name(subject: str, level: str) -> str:
    """Return the name of a level as figures and tables show it."""
    if subject == "class":
        return LONG_WORDS.get(level) or class_word(level)
    return level if len(level) <= 40 else level[:39] + "…"


def left_out(kind: str, names: Iterable[str], record: QuarterRecord) -> str:
    """Say who read in the quarter and is not drawn, and why; nothing where all are."""
    drawn = set(names)
    missing = [
        row.level
        for row in record.level_rows(kind)
        if row.level not in drawn and row.level != "not noted" and row.judged_count
    ]
    if not missing:
        return ""
    who = listed([shown_name(kind, name) for name in sorted(missing, key=by_name)])
    return (
        f" Left out: {who}, with too few inspections, now or earlier, in which the air temperature "
        "was really read."
    )


def class_word(device_class: str) -> str:
    """Return the one name of a class on the page."""
    return CLASS_WORDS.get(device_class, device_class)


def slot_words(position: int, poles: int) -> str:
    """Name the slot or slots of a device."""
    if position == 0:
        return "main"
    return f"slots {position} and {position + 2}" if poles > 1 else f"slot {position}"


def upper(text: str) -> str:
    """Begin a sentence with a capital; the rest as it is."""
    return text[:1].upper() + text[1:]


def lower(text: str) -> str:
    """Go on in a sentence with what may begin one; the rest as it is."""
    return text[:1].lower() + text[1:]


def by_name(name: str) -> list[tuple[bool, int, str]]:
    """Order names as people do: insp-2 before insp-10."""
    parts = re.split(r"([0-9]+)", name)
    return [(not p.isdecimal(), int(p) if p.isdecimal() else 0, p) for p in parts if p]


def finite(value: float) -> float | None:
    """Return a number, or None for what figures leave out."""
    return value if math.isfinite(value) else None


def any_limit(policy: Policy) -> str:
    """Name the current that no load may exceed: rating, or a share of it."""
    share = policy.load_any_share
    return "the rating" if share == 1.0 else f"{theme.share(share)} of the rating"


def continuous_limit(policy: Policy) -> str:
    """Name the current that a load of three hours or more may not exceed."""
    return f"{theme.share(policy.load_continuous_share)} of the rating"
