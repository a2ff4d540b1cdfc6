"""What pages are put together from: tables, figures with their sentence and table, marks."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme


@dataclass(frozen=True)
class Table:
    """Headers and rows of plain text; the first `text_columns` columns are words, not numbers.

    `verdicts`, where given, is one a row: its mark stands before the text under “verdict”.
    `kind` says how it may be laid out: `list` row by row where there is no room, `real` never so.
    """

    caption: str
    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    text_columns: int = 1
    verdicts: tuple[str, ...] = ()
    kind: str = ""


@dataclass(frozen=True)
class Figure:
    """A figure: an id, what it shows in one sentence, plotly's JSON, height [px], its table."""

    id: str
    sentence: str
    spec: str
    height: int
    table: Table

    @property
    def has_apart(self) -> bool:
        """Tell whether the mark of what stands apart is drawn in it."""
        return f'"{theme.APART.symbol}"' in self.spec


def figure(id: str, sentence: str, drawn: go.Figure, table: Table) -> Figure:
    """Put a drawn figure with its sentence and its table; keys sorted, so bytes repeat."""
    spec = json.dumps(drawn.to_plotly_json(), sort_keys=True, default=list, allow_nan=False)
    return Figure(id, sentence, spec, int(drawn.layout.height), table)


def table(
    caption: str,
    headers: Sequence[str],
    rows: Sequence[Sequence[str]],
    text_columns: int = 1,
    kind: str = "",
) -> Table:
    """Return a table from any sequences of text."""
    body = tuple(tuple(row) for row in rows)
    return Table(caption, tuple(headers), body, text_columns, kind=kind)


def count(number: int, one: str, many: str = "") -> str:
    """Write a count with its noun: 1 panel, 2,431 panels."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def listed(words: Sequence[str]) -> str:
    """Write words as a list in a sentence: a, b and c."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
