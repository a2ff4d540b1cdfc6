"""Numbers that options take: those that can be counted with, as people write them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from click import Context, Parameter

MOST_AMOUNT = 1e12
"""Largest cost, or number of visits, that is taken; chosen: more than any firm's, and its square
can still be added up."""
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
