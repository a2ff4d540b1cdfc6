"""Shares side by side: a dot and its interval a level, the whole quarter's share as a line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme
from dashboards.figures import named
from dashboards.figures.rows import add_dots, name_rows, row_name, row_px


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

    Levels that stand apart have their mark, the others are circles.
    """
    drawn = go.Figure()
    spans = [(i, point.low, point.high) for i, point in enumerate(points)]
    named.add_intervals(drawn, spans, [point.is_apart for point in points], (2.0, 4.0))
    _dots(drawn, points)
    cut = [row for row, point in enumerate(points) if point.is_cut]
    drawn.add_scatter(
        x=[points[row].high for row in cut],
        y=cut,
        mode="markers",
        marker={"symbol": "triangle-right", "size": 9, "color": theme.GREY},
        hoverinfo="skip",
        cliponaxis=False,
    )
    drawn.add_vline(x=whole_percent, line=theme.GUIDE)
    height = row_px([point.name for point in points]) * len(points) + 46
    theme.frame(drawn, height=height, left=30, bottom=28)
    drawn.update_xaxes(range=[-0.015 * most_percent, most_percent], ticksuffix=" %", nticks=5)
    drawn.update_layout(margin={"r": 24})
    name_rows(drawn, [_label(point) for point in points])
    return drawn


def _dots(drawn: go.Figure, points: Sequence[StandingPoint]) -> None:
    marker = {**named.marks([point.is_apart for point in points]), "line": {"width": 0}}
    percents = [point.percent for point in points]
    add_dots(drawn, percents, [point.words for point in points], marker)


def _label(point: StandingPoint) -> str:
    return f"{row_name(point.name)}  <b>{point.count}</b>/{point.total:,}"
