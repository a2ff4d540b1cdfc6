"""One reading on the band of what is usual for such a device in its panel, over the load."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme
from dashboards.figures import placing

HEIGHT = 270
SIZES = ((240.0, 100.0), (227.0, 198.0), (439.0, 198.0))
"""Sizes between the axes on paper, on a phone and on a desk [px]; measured."""
WORD_PX = {"termination": 60.0, "face": 26.0}
"""Widths of the words beside the marks [px]; measured."""
MARK_PX = 14
"""Size of the mark of a reading [px]."""


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
    space = _space(band, reading)
    if reading.termination is not None:
        _name_channels(drawn, band, reading, space)
    theme.frame(drawn, height=HEIGHT, left=44, bottom=48)
    _add_limits(drawn)
    drawn.update_xaxes(
        title={"text": "load, share of rating", "standoff": 6},
        ticksuffix=" %",
        dtick=25 if max(band.load_percent) < 200 else None,
        range=list(space.x),
        showgrid=False,
    )
    drawn.update_yaxes(
        title={"text": f"rise, {symbol}", "standoff": 4},
        range=list(space.y),
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


def _add_mark(drawn: go.Figure, reading: ReadingPoint, rise: float, *, is_full: bool) -> None:
    mark = theme.MARKS[reading.verdict]
    drawn.add_scatter(
        x=[reading.load_percent],
        y=[rise],
        mode="markers",
        marker={
            "color": mark.colour,
            "symbol": mark.symbol if is_full else f"{mark.symbol}-open",
            "size": MARK_PX,
            "line": {"width": 0 if is_full else 2},
        },
        hovertext=[theme.safe_text(reading.words, 200)],
        hoverinfo="text",
        cliponaxis=False,
    )


def _space(band: BandShape, reading: ReadingPoint) -> placing.Space:
    """Return what the axes span: from zero, or below it, to above the band and the reading."""
    read = [reading.rise, reading.expected, reading.termination or 0.0]
    low, high = min([0.0, *band.lower, *read]), max([*band.upper, *read, 1.0])
    room = 0.08 * (high - low)
    y = (low - room if low < 0.0 else 0.0, high + room)
    return placing.Space((0.0, max(band.load_percent)), y, SIZES)


def _name_channels(
    drawn: go.Figure, band: BandShape, reading: ReadingPoint, space: placing.Space
) -> None:
    """Write which of the two marks is which, clear of both and of the curve."""
    rises = {"termination": reading.termination or 0.0, "face": reading.rise}
    marked = {word: (reading.load_percent, rise) for word, rise in rises.items()}
    obstacles = [placing.mark(at, MARK_PX / 2 + 2) for at in marked.values()]
    for edge, cost in ((band.expected, 60.0), (band.upper, 3.0), (band.lower, 3.0)):
        obstacles += placing.line(list(zip(band.load_percent, edge, strict=True)), 2.0, cost)
    obstacles += [
        piece
        for percent in (80.0, 100.0)
        for piece in placing.line([(percent, space.y[0]), (percent, space.y[1])], 1.0, 15.0)
    ]
    labels = [placing.Label(at, WORD_PX[word], 14.0) for word, at in marked.items()]
    colour = theme.MARKS[reading.verdict].colour
    for word, shift in zip(marked, placing.shifts(labels, obstacles, space), strict=True):
        drawn.add_annotation(
            x=marked[word][0],
            y=marked[word][1],
            text=word,
            font={"size": 11},
            borderpad=0,
            **placing.joined(shift, colour, MARK_PX / 2),
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
