"""A subject over the quarters on its control chart: single quarters above, moving average below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme
from dashboards.figures import named
from dashboards.figures.trend import LIMITS_FILL, add_boxes, quarter_axis

HEIGHT = 310
AVERAGE_LIMIT = 3.0
"""Limits of the moving average in its own standard deviations [1]."""


@dataclass(frozen=True)
class CoursePoint:
    """One quarter: change with interval and the limit of a steady subject, in the shown unit.

    `average` is the moving average in its own standard deviations; None where it cannot be told.
    """

    quarter: str
    change: float | None
    low: float | None
    high: float | None
    limit: float | None
    average: float | None
    is_named: bool
    words: str


def figure(points: Sequence[CoursePoint], symbol: str) -> go.Figure:
    """Draw both charts over the same quarters; those named have the mark of what stands apart."""
    drawn = go.Figure()
    places = range(len(points))
    limits = [point.limit for point in points]
    add_boxes(drawn, [(i, -x, x) for i, x in zip(places, limits, strict=True) if x is not None])
    known = [
        ((i, point.low, point.high), point.is_named)
        for i, point in zip(places, points, strict=True)
        if point.low is not None and point.high is not None
    ]
    spans, is_named = [span for span, _ in known], [one for _, one in known]
    named.add_intervals(drawn, spans, is_named, (2, 2), is_upright=True)
    _add_points(drawn, points, [point.change for point in points], "y")
    _add_points(drawn, points, [point.average for point in points], "y2")
    theme.frame(drawn, height=HEIGHT, bottom=28)
    _lay_axes(drawn, points, symbol)
    return drawn


def _add_points(
    drawn: go.Figure, points: Sequence[CoursePoint], values: list[float | None], axis: str
) -> None:
    drawn.add_scatter(
        x=list(range(len(points))),
        y=values,
        yaxis=axis,
        mode="lines+markers",
        line={"color": theme.GREY, "width": 1, "dash": "dot"},
        marker=named.marks([point.is_named for point in points], 8, 12),
        hovertext=[theme.safe_text(point.words, 200) for point in points],
        hoverinfo="text",
        connectgaps=False,
        cliponaxis=False,
    )


def _lay_axes(drawn: go.Figure, points: Sequence[CoursePoint], symbol: str) -> None:
    quarter_axis(drawn, [point.quarter for point in points])
    most = 1.1 * max([AVERAGE_LIMIT, *(abs(point.average or 0.0) for point in points)])
    drawn.update_layout(
        xaxis={"anchor": "y2"},
        yaxis={
            "domain": [0.42, 1.0],
            "nticks": 6,
            "title": {"text": f"change, {symbol}", "standoff": 2},
        },
        yaxis2={
            **drawn.layout.yaxis.to_plotly_json(),
            "domain": [0.0, 0.32],
            "nticks": 4,
            "range": [-most, most],
            "title": {"text": "average", "standoff": 2},
        },
        shapes=[
            _line(0.0, "y"),
            _line(0.0, "y2"),
            {
                "type": "rect",
                "xref": "paper",
                "yref": "y2",
                "x0": 0,
                "x1": 1,
                "y0": -AVERAGE_LIMIT,
                "y1": AVERAGE_LIMIT,
                "fillcolor": LIMITS_FILL,
                "line": {"width": 0},
                "layer": "below",
            },
        ],
    )


def _line(height: float, axis: str) -> dict[str, object]:
    return {
        "type": "line",
        "xref": "paper",
        "yref": axis,
        "x0": 0,
        "x1": 1,
        "y0": height,
        "y1": height,
        "line": theme.GUIDE,
    }
