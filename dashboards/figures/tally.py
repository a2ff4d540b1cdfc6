"""Counts by reason: the reason as a line of text, under it a thin bar as long as its count."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme
from dashboards.figures.rows import add_line

ROW_PX = 34


@dataclass(frozen=True)
class TallyRow:
    """One reason with its count and hover words."""

    name: str
    count: int
    words: str


def figure(rows: Sequence[TallyRow], colour: str) -> go.Figure:
    """Draw the rows from top to bottom, bars from a common left edge."""
    drawn = go.Figure()
    most = max([1, *(row.count for row in rows)])
    for number, row in enumerate(rows):
        add_line(drawn, number + 0.28, (0.0, float(row.count)), colour, 7)
    drawn.add_scatter(
        x=[0.0 for _ in rows],
        y=[number - 0.16 for number in range(len(rows))],
        mode="text",
        text=[f"<b>{row.count:,}</b>  {theme.safe_text(row.name, 44)}" for row in rows],
        textposition="middle right",
        textfont={"size": 12},
        hovertext=[theme.safe_text(row.words, 200) for row in rows],
        hoverinfo="text",
        cliponaxis=False,
    )
    theme.frame(drawn, height=ROW_PX * len(rows) + 16)
    drawn.update_layout(margin={"l": 4, "r": 4, "t": 6, "b": 6})
    drawn.update_xaxes(visible=False, range=[-0.01 * most, 1.02 * most])
    drawn.update_yaxes(visible=False, range=[len(rows) - 0.3, -0.6])
    return drawn
