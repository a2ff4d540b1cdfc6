"""A figure over quarters: dots with their 95 % intervals, joined where quarters follow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme

HEIGHT = 224
LIMITS_FILL = "rgba(134, 144, 157, 0.18)"


@dataclass(frozen=True)
class TrendPoint:
    """One quarter: value and interval as shown, None where there is none; hover words.

    `limits` are those of its control chart: where steady quarters lie.
    """

    quarter: str
    value: float | None
    low: float | None
    high: float | None
    words: str
    limits: tuple[float, float] | None = None


def figure(points: Sequence[TrendPoint], verdict: str, suffix: str = " %") -> go.Figure:
    """Draw the points in the colour and mark of `verdict`; a quarter without data is a gap."""
    mark = theme.MARKS[verdict]
    drawn = go.Figure()
    _add_limits(drawn, points)
    for place, point in enumerate(points):
        if point.low is not None:
            drawn.add_scatter(
                x=[place] * 2,
                y=[point.low, point.high],
                mode="lines",
                line={"color": mark.colour, "width": 2},
                hoverinfo="skip",
            )
    drawn.add_scatter(
        x=list(range(len(points))),
        y=[point.value for point in points],
        mode="lines+markers",
        line={"color": mark.colour, "width": 1, "dash": "dot"},
        marker={"color": mark.colour, "symbol": mark.symbol, "size": 11},
        hovertext=[theme.safe_text(point.words, 200) for point in points],
        hoverinfo="text",
        connectgaps=False,
    )
    theme.frame(drawn, height=HEIGHT, bottom=28)
    quarter_axis(drawn, [point.quarter for point in points])
    drawn.update_yaxes(rangemode="tozero", ticksuffix=suffix, nticks=5)
    return drawn


def quarter_axis(drawn: go.Figure, quarters: Sequence[str]) -> None:
    """Name the quarters along the lower axis, aslant where there are many."""
    drawn.update_xaxes(
        tickvals=list(range(len(quarters))),
        ticktext=list(quarters),
        range=[-0.6, len(quarters) - 0.4],
        showgrid=False,
        tickangle=0 if len(quarters) <= 4 else -60,
        automargin=True,
    )


def _add_limits(drawn: go.Figure, points: Sequence[TrendPoint]) -> None:
    """Shade where a steady quarter of that size lies, one box a quarter."""
    for place, point in enumerate(points):
        if point.limits is not None:
            add_box(drawn, place, point.limits)


def add_box(drawn: go.Figure, place: float, limits: tuple[float, float]) -> None:
    """Shade from limit to limit over the width of one quarter."""
    left, right = place - 0.5, place + 0.5
    drawn.add_scatter(
        x=[left, right, right, left],
        y=[limits[0], limits[0], limits[1], limits[1]],
        fill="toself",
        fillcolor=LIMITS_FILL,
        mode="lines",
        line={"width": 0},
        hoverinfo="skip",
    )
