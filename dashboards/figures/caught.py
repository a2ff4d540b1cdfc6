"""Shares corrected and plain, one row each: dot and interval, a bound where no point is known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme
from dashboards.figures.rows import ROW_PX, add_dots, add_line, name_rows

BOUND = "rgba(134, 144, 157, 0.45)"


@dataclass(frozen=True)
class CaughtRow:
    """One row: label, corrected share with its ends and the plain share, all [%]; hover words.

    `percent` is None where only the ends are known.
    """

    label: str
    percent: float | None
    low: float
    high: float
    plain: float | None
    words: str


def figure(rows: Sequence[CaughtRow]) -> go.Figure:
    """Draw the rows from top to bottom: dot corrected, open diamond plain, grey bar a bound."""
    drawn = go.Figure()
    for number, row in enumerate(rows):
        is_bound = row.percent is None
        colour, width = (BOUND, 9.0) if is_bound else (theme.TEAL, 3.0)
        add_line(drawn, number, (row.low, row.high), colour, width)
    for values, colour, symbol, size in (
        ([row.plain for row in rows], theme.OCHRE, "diamond-open", 10),
        ([row.percent for row in rows], theme.TEAL, "circle", 10),
    ):
        line = {"width": 2 if "open" in symbol else 0, "color": colour}
        marker = {"color": colour, "symbol": symbol, "size": size, "opacity": 1, "line": line}
        add_dots(drawn, values, [row.words for row in rows], marker)
    theme.frame(drawn, height=ROW_PX * len(rows) + 62, left=30)
    drawn.update_xaxes(
        range=[-1.5, 101.5],
        dtick=25,
        title={"text": "% of the faults are flagged", "standoff": 6},
    )
    name_rows(drawn, [row.label for row in rows])
    return drawn
