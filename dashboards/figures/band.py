"""One reading on the band of what is usual for such a device in its panel, over the load."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme

HEIGHT = 270


@dataclass(frozen=True)
class BandShape:
    """The band: load [% of rating], usual rise and healthy 95 % limits in the shown unit."""

    load_percent: Sequence[float]
    expected: Sequence[float]
    lower: Sequence[float]
    upper: Sequence[float]


@dataclass(frozen=True)
class ReadingPoint:
    """The reading: load [% of rating], rise in the shown unit, its usual rise, words, verdict."""

    load_percent: float
    rise: float
    expected: float
    words: str
    verdict: str


def figure(band: BandShape, reading: ReadingPoint, symbol: str) -> go.Figure:
    """Draw the band, its middle, the limits of the load, and the reading with its excess."""
    drawn = go.Figure()
    drawn.add_scatter(
        x=[*band.load_percent, *reversed(band.load_percent)],
        y=[*band.upper, *reversed(band.lower)],
        fill="toself",
        fillcolor=theme.BAND_FILL,
        mode="lines",
        line={"width": 0},
        hoverinfo="skip",
    )
    drawn.add_scatter(
        x=list(band.load_percent),
        y=list(band.expected),
        mode="lines",
        line={"color": theme.TEAL, "width": 2},
        hoverinfo="skip",
    )
    _add_reading(drawn, reading)
    theme.frame(drawn, height=HEIGHT, left=44, bottom=48)
    _add_limits(drawn)
    drawn.update_xaxes(
        title={"text": "load, share of rating", "standoff": 6},
        ticksuffix=" %",
        dtick=25 if max(band.load_percent) < 200 else None,
        range=[0, max(band.load_percent)],
        showgrid=False,
    )
    drawn.update_yaxes(
        title={"text": f"rise, {symbol}", "standoff": 4},
        rangemode="tozero",
        nticks=6,
        automargin=True,
    )
    return drawn


def _add_reading(drawn: go.Figure, reading: ReadingPoint) -> None:
    mark = theme.MARKS[reading.verdict]
    drawn.add_scatter(
        x=[reading.load_percent] * 2,
        y=[reading.expected, reading.rise],
        mode="lines",
        line={"color": mark.colour, "width": 1, "dash": "dot"},
        hoverinfo="skip",
    )
    drawn.add_scatter(
        x=[reading.load_percent],
        y=[reading.rise],
        mode="markers",
        marker={"color": mark.colour, "symbol": mark.symbol, "size": 14},
        hovertext=[theme.safe_text(reading.words, 200)],
        hoverinfo="text",
        cliponaxis=False,
    )


def _add_limits(drawn: go.Figure) -> None:
    """Mark 80 % (continuous loads, NEC 210.20(A)) and the rating itself."""
    drawn.update_layout(margin={"t": 24, "r": 24})
    for percent, word in ((80, "80 %"), (100, "rating")):
        drawn.add_vline(x=percent, line=theme.GUIDE)
        drawn.add_annotation(
            x=percent,
            y=1.0,
            yref="paper",
            yanchor="bottom",
            text=word,
            showarrow=False,
            font={"size": 11},
        )
