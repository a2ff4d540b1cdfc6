"""Numbers and days that options take, as people write them."""

from __future__ import annotations

import datetime as dt
import re
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from click import Context, Parameter

MOST_AMOUNT = 1e12
"""Largest cost, or number of visits, that is taken; chosen: more than any firm's, and its square
can still be added up."""
LAST_SLOT = 2**31 - 1
"""The largest number that the store's slots, whole numbers of 32 bits, can hold."""
_SLOT = re.compile(r"(\d+)(?:\s*[/,+&-]\s*\d+)*")
_DECIMAL_COMMA = re.compile(r"\d+,\d{1,2}")


class Amount(click.ParamType[float]):
    """A number above nil, such as a cost; no nan, no infinity, nothing over `MOST_AMOUNT`."""

    name = "amount"

    def get_metavar(self, param: Parameter, ctx: Context) -> str:
        """Return what stands for it in the help."""
        return "NUMBER"

    def convert(self, value: Any, param: Parameter | None, ctx: Context | None) -> Any:
        """Return the number; `4000,50` is read as 4000.50, since no thousands end in two digits."""
        text = str(value).strip()
        if _DECIMAL_COMMA.fullmatch(text):
            text = text.replace(",", ".")
        try:
            number = float(text)
        except ValueError:
            self.fail(f"“{value}” is no number; write it like 4000 or 4000.50.", param, ctx)
        if not 0 < number <= MOST_AMOUNT:
            self.fail(f"“{value}” is no number above 0 and up to {MOST_AMOUNT:g}.", param, ctx)
        return number


class Slot(click.ParamType[int]):
    """A slot as sheets and pages write it: 5, main for 0, 23/25 for a device of two slots."""

    name = "slot"

    def convert(self, value: Any, param: Parameter | None, ctx: Context | None) -> Any:
        """Return its number, of several the first."""
        text = str(value).strip().lower()
        found = _SLOT.fullmatch(text)
        if text == "main":
            return 0
        if not found:
            self.fail(f"“{value}” is no slot; write it like 5, main or 23/25.", param, ctx)
        if int(found[1]) > LAST_SLOT:
            self.fail(f"{value} is not in the range of slots, 0 to {LAST_SLOT}.", param, ctx)
        return int(found[1])


class Day(click.ParamType[dt.date]):
    """A day such as 2026-10-01."""

    name = "day"

    def convert(self, value: Any, param: Parameter | None, ctx: Context | None) -> Any:
        """Return the day; what could be read two ways is refused."""
        try:
            return dt.date.fromisoformat(str(value).strip())
        except ValueError:
            self.fail(f"“{value}” is no day; write it like 2026-10-01.", param, ctx)
