"""A figure over quarters: dots with their 95 % intervals, joined where quarters follow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme
from dashboards.figures.rows import add_spans

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
    add_boxes(drawn, [(i, *one.limits) for i, one in enumerate(points) if one.limits])
    spans = [
        (i, one.low, one.high)
        for i, one in enumerate(points)
        if one.low is not None and one.high is not None
    ]
    add_spans(drawn, spans, mark.colour, 2, is_upright=True)
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


def add_boxes(drawn: go.Figure, boxes: Sequence[tuple[float, float, float]]) -> None:
    """Shade (place, from, to): from limit to limit over the width of one quarter each."""
    across = [x for place, _, _ in boxes for x in (*_sides(place), None)]
    upward = [y for _, low, high in boxes for y in (low, low, high, high, None)]
    drawn.add_scatter(
        x=across,
        y=upward,
        fill="toself",
        fillcolor=LIMITS_FILL,
        mode="lines",
        line={"width": 0},
        hoverinfo="skip",
    )


def _sides(place: float) -> tuple[float, float, float, float]:
    return place - 0.5, place + 0.5, place + 0.5, place - 0.5
