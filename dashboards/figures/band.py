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
    """The reading: load [% of rating], rise in the shown unit, its usual rise, words, verdict.

    `termination` is the rise there, where it was read; `is_by_termination` tells that the case was
    judged by it, and puts the full mark on it and an open one on the face.
    """

    load_percent: float
    rise: float
    expected: float
    words: str
    verdict: str
    termination: float | None = None
    is_by_termination: bool = False


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
    _add_mark(drawn, reading, reading.rise, is_full=not reading.is_by_termination)
    if reading.termination is not None:
        _add_mark(drawn, reading, reading.termination, is_full=reading.is_by_termination)
        _name_channels(drawn, reading, reading.termination)


def _add_mark(drawn: go.Figure, reading: ReadingPoint, rise: float, *, is_full: bool) -> None:
    mark = theme.MARKS[reading.verdict]
    drawn.add_scatter(
        x=[reading.load_percent],
        y=[rise],
        mode="markers",
        marker={
            "color": mark.colour,
            "symbol": mark.symbol if is_full else f"{mark.symbol}-open",
            "size": 14,
            "line": {"width": 0 if is_full else 2},
        },
        hovertext=[theme.safe_text(reading.words, 200)],
        hoverinfo="text",
        cliponaxis=False,
    )


def _name_channels(drawn: go.Figure, reading: ReadingPoint, termination: float) -> None:
    """Write which of the two marks is which, on the side with room, apart where they are near."""
    side = -1 if reading.load_percent > 50 else 1
    up = 1 if termination >= reading.rise else -1
    for word, rise, lift in (("termination", termination, up), ("face", reading.rise, -up)):
        drawn.add_annotation(
            x=reading.load_percent,
            y=rise,
            xshift=12 * side,
            yshift=5 * lift,
            xanchor="left" if side > 0 else "right",
            text=word,
            showarrow=False,
            font={"size": 11},
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
