"""What a file's first rows tell: decimal commas, the order of day and month, plain cells."""

from __future__ import annotations

import re
from collections.abc import Iterable

_COMMA = re.compile(r"^\s*[-+−]?\d*,(?:\d{1,2}|\d{4,})(?!\d)|\d\.\d{3},\d")
_DOT = re.compile(r"^\s*[-+−]?\d*\.(?:\d{1,2}|\d{4,})(?!\d)|\d,\d{3}\.\d")
_THREE = re.compile(r"^\s*(\d{1,4})\s*([./-])\s*(\d{1,2})\s*\2\s*(\d{1,4})")
_PLAIN = re.compile(r"\s*-?\d+(?:\.\d*)?\s*|\d{4}-\d{2}-\d{2}(?:[T ][\d:.]+Z?)?")
PLAIN_SHARE = 0.98
"""Share of plain cells from which rows are read the quick way; chosen, others cost more."""


def is_date(cell: str) -> bool:
    """Tell whether a cell is three numbers with the year last."""
    found = _THREE.match(cell)
    return found is not None and len(found[1]) < 4


def has_decimal_comma(cells: Iterable[str]) -> bool:
    """Tell whether numbers have a decimal comma: more cells speak for it than against."""
    comma = dot = 0
    for cell in cells:
        comma += bool(_COMMA.search(cell))
        dot += bool(_DOT.search(cell))
    return comma > dot


def are_plain(cells: Iterable[str]) -> bool:
    """Tell whether nearly all cells are bare numbers or ISO dates, without units or words."""
    told = [cell for cell in cells if cell.strip()]
    plain = sum(_PLAIN.fullmatch(cell) is not None for cell in told)
    return plain >= PLAIN_SHARE * len(told)


def date_order(cells: Iterable[str]) -> tuple[str, bool]:
    """Return ('dmy' or 'mdy', whether that is certain) of dates written as three numbers.

    A number above 12 settles it; without one, dots mean day first and slashes month first
    (common practice). Dates with the year first need no order.
    """
    day_first = month_first = dotted = other = 0
    for cell in cells:
        found = _THREE.match(cell)
        if not found or len(found[1]) == 4:
            continue
        first, second = int(found[1]), int(found[3])
        day_first += 12 < first <= 31 and second <= 12
        month_first += 12 < second <= 31 and first <= 12
        dotted += found[2] == "."
        other += found[2] != "."
    if day_first or month_first:
        return ("dmy" if day_first >= month_first else "mdy"), not (day_first and month_first)
    return ("dmy" if dotted > other else "mdy"), other == 0
