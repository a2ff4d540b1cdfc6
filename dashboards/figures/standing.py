"""Shares side by side: a dot and its interval a level, the whole quarter's share as a line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme
from dashboards.figures.rows import add_spans

ROW_PX = 26
NAME_LETTERS = 14


@dataclass(frozen=True)
class StandingPoint:
    """One level: share and interval [%] as drawn, `is_cut` where the interval runs on."""

    name: str
    count: int
    total: int
    percent: float
    low: float
    high: float
    is_cut: bool
    is_apart: bool
    words: str


def figure(points: Sequence[StandingPoint], whole_percent: float, most_percent: float) -> go.Figure:
    """Draw the points from top to bottom as given, on an axis from 0 to `most_percent`.

    Levels that stand apart are full diamonds, the others open circles.
    """
    drawn = go.Figure()
    rows = list(range(len(points)))
    for is_apart, width in ((False, 2.0), (True, 4.0)):
        spans = [(i, p.low, p.high) for i, p in enumerate(points) if p.is_apart == is_apart]
        if spans:
            add_spans(drawn, spans, theme.VIOLET if is_apart else theme.TEAL, width)
    _dots(drawn, points)
    cut = [row for row in rows if points[row].is_cut]
    drawn.add_scatter(
        x=[points[row].high for row in cut],
        y=cut,
        mode="markers",
        marker={"symbol": "triangle-right", "size": 9, "color": theme.GREY},
        hoverinfo="skip",
        cliponaxis=False,
    )
    drawn.add_vline(x=whole_percent, line=theme.GUIDE)
    theme.frame(drawn, height=ROW_PX * len(points) + 46, left=30, bottom=28)
    drawn.update_xaxes(range=[-0.015 * most_percent, most_percent], ticksuffix=" %", nticks=5)
    drawn.update_layout(margin={"r": 24})
    drawn.update_yaxes(
        tickvals=rows,
        ticktext=[_label(point) for point in points],
        range=[len(points) - 0.4, -0.6],
        automargin=True,
        showgrid=False,
        ticklen=8,
        tickcolor="rgba(0, 0, 0, 0)",
    )
    return drawn


def _dots(drawn: go.Figure, points: Sequence[StandingPoint]) -> None:
    drawn.add_scatter(
        x=[point.percent for point in points],
        y=list(range(len(points))),
        mode="markers",
        marker={
            "color": [theme.VIOLET if p.is_apart else theme.TEAL for p in points],
            "symbol": ["diamond" if p.is_apart else "circle" for p in points],
            "size": [13 if p.is_apart else 9 for p in points],
            "opacity": 1,
            "line": {"width": 0},
        },
        hovertext=[theme.safe_text(point.words, 200) for point in points],
        hoverinfo="text",
        cliponaxis=False,
    )


def _label(point: StandingPoint) -> str:
    name = theme.safe_text(point.name, NAME_LETTERS)
    return f"{name}  <b>{point.count}</b>/{point.total:,}"
