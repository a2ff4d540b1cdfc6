"""Two answers to one question side by side: a circle, a diamond, and the way between."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme
from dashboards.figures.rows import ROW_PX, add_dots, add_line, name_rows


@dataclass(frozen=True)
class ShiftRow:
    """One row: label, the value before and after, in the shown unit, hover words."""

    label: str
    before: float
    after: float
    words: str


def figure(rows: Sequence[ShiftRow], title: str) -> go.Figure:
    """Draw the rows from top to bottom: a full circle before, an open diamond after."""
    drawn = go.Figure()
    for place, row in enumerate(rows):
        add_line(drawn, place, (row.before, row.after), theme.GREY, 1.5)
    for values, symbol, colour, size in (
        ([row.before for row in rows], "circle", theme.TEAL, 9),
        ([row.after for row in rows], "diamond-open", theme.VIOLET, 12),
    ):
        line = {"width": 2 if symbol.endswith("open") else 0}
        marker = {"color": colour, "symbol": symbol, "size": size, "opacity": 1, "line": line}
        add_dots(drawn, values, [row.words for row in rows], marker)
    theme.frame(drawn, height=ROW_PX * len(rows) + 62, left=30, bottom=44)
    drawn.update_xaxes(nticks=6, title={"text": title, "standoff": 6})
    name_rows(drawn, [row.label for row in rows])
    return drawn
