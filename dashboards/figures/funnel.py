"""Found over expected beside how much was expected: limits that narrow as more is known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme
from dashboards.figures import named
from dashboards.figures.trend import LIMITS_FILL

HEIGHT = 300


@dataclass(frozen=True)
class FunnelPoint:
    """One subject: cases expected, found over expected with its interval, limits, hover words.

    `limits` hold 998 of 1,000 steady subjects of that size; None where too little was expected.
    """

    name: str
    expected: float
    ratio: float
    low: float
    high: float
    limits: tuple[float, float] | None
    is_named: bool
    words: str


def figure(points: Sequence[FunnelPoint]) -> go.Figure:
    """Draw the funnel, its subjects with their intervals, and the names of those that are named."""
    drawn = go.Figure()
    order = sorted(points, key=lambda point: point.expected)
    _add_limits(drawn, [point for point in order if point.limits is not None])
    spans = [(one.expected, one.low, one.high) for one in order]
    is_named = [one.is_named for one in order]
    named.add_intervals(drawn, spans, is_named, (1.5, 2.5), is_upright=True)
    _add_dots(drawn, order)
    drawn.add_hline(y=1, line=theme.GUIDE)
    theme.frame(drawn, height=HEIGHT, bottom=48)
    widest = max([2.0, *(one.ratio for one in order), *(_top(one) for one in order)])
    drawn.update_xaxes(
        title={"text": "cases expected", "standoff": 6},
        range=[0, 1.08 * max([1.0, *(one.expected for one in order)])],
        nticks=6,
        showgrid=False,
    )
    drawn.update_yaxes(
        title={"text": "times as many as expected", "standoff": 4},
        range=[-0.02 * widest, 1.05 * widest],
        nticks=6,
    )
    return drawn


def _top(point: FunnelPoint) -> float:
    return point.limits[1] if point.limits else 0.0


def _is_outer(point: FunnelPoint, points: Sequence[FunnelPoint]) -> bool:
    """Whether it lies beyond its limits, or is the highest or lowest of all."""
    ratios = [one.ratio for one in points]
    if point.ratio in (min(ratios), max(ratios)):
        return True
    return point.limits is not None and not point.limits[0] <= point.ratio <= point.limits[1]


def _add_limits(drawn: go.Figure, points: Sequence[FunnelPoint]) -> None:
    """Shade between the limits; they are known at each subject and joined straight between."""
    edges = [point.limits for point in points if point.limits is not None]
    sizes = [point.expected for point in points]
    drawn.add_scatter(
        x=[*sizes, *reversed(sizes)],
        y=[*(high for _, high in edges), *(low for low, _ in reversed(edges))],
        fill="toself" if len(points) > 1 else None,
        fillcolor=LIMITS_FILL,
        mode="lines",
        line={"width": 0},
        hoverinfo="skip",
    )
    drawn.add_scatter(
        x=[size for size in sizes for _ in range(2)],
        y=[edge for pair in edges for edge in pair],
        mode="markers",
        marker={"symbol": "line-ew", "size": 10, "line": {"color": theme.GREY, "width": 1.5}},
        hoverinfo="skip",
    )


def _add_dots(drawn: go.Figure, points: Sequence[FunnelPoint]) -> None:
    widest = max(point.expected for point in points)
    told = {point.name for point in points if point.is_named or _is_outer(point, points)}
    drawn.add_scatter(
        x=[point.expected for point in points],
        y=[point.ratio for point in points],
        mode="markers+text",
        text=[theme.safe_text(point.name, 22) if point.name in told else "" for point in points],
        textposition=[
            "middle left" if 2 * point.expected > widest else "middle right" for point in points
        ],
        marker=named.marks([point.is_named for point in points]),
        hovertext=[theme.safe_text(point.words, 200) for point in points],
        hoverinfo="text",
        cliponaxis=False,
    )
