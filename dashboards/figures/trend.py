"""A share over quarters: dots with their 95 % intervals, joined where quarters follow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme

HEIGHT = 224


@dataclass(frozen=True)
class TrendPoint:
    """One quarter: share and interval [%], None where nothing could be judged; hover words."""

    quarter: str
    percent: float | None
    low: float | None
    high: float | None
    words: str


def figure(points: Sequence[TrendPoint], verdict: str) -> go.Figure:
    """Draw the points in the colour and mark of `verdict`; a quarter without data is a gap."""
    mark = theme.MARKS[verdict]
    drawn = go.Figure()
    for point in points:
        if point.low is not None:
            drawn.add_scatter(
                x=[point.quarter] * 2,
                y=[point.low, point.high],
                mode="lines",
                line={"color": mark.colour, "width": 2},
                hoverinfo="skip",
            )
    drawn.add_scatter(
        x=[point.quarter for point in points],
        y=[point.percent for point in points],
        mode="lines+markers",
        line={"color": mark.colour, "width": 1, "dash": "dot"},
        marker={"color": mark.colour, "symbol": mark.symbol, "size": 11},
        hovertext=[theme.safe_text(point.words, 200) for point in points],
        hoverinfo="text",
        connectgaps=False,
    )
    theme.frame(drawn, height=HEIGHT, bottom=28)
    drawn.update_xaxes(
        type="category",
        categoryorder="array",
        categoryarray=[point.quarter for point in points],
        range=[-0.6, len(points) - 0.4],
        showgrid=False,
        tickangle=0 if len(points) <= 4 else -60,
        automargin=True,
    )
    drawn.update_yaxes(rangemode="tozero", ticksuffix=" %", nticks=5)
    return drawn
