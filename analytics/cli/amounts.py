"""Numbers that options take: those that can be counted with."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from click import Context, Parameter

MOST_AMOUNT = 1e12
"""Largest cost, or number of visits, that is taken; chosen: more than any firm's, and its square
can still be added up."""


class Amount(click.FloatRange):
    """A number above nil, such as a cost; no nan, no infinity, nothing over `MOST_AMOUNT`."""

    def __init__(self) -> None:
        super().__init__(min=0, min_open=True)

    def convert(self, value: Any, param: Parameter | None, ctx: Context | None) -> Any:
        """Return the number; click tells what is wrong with it."""
        number = super().convert(value, param, ctx)
        if not number <= MOST_AMOUNT:
            self.fail(f"{value} is no number up to {MOST_AMOUNT:g}.", param, ctx)
        return number
