"""Found over expected beside how much was expected: limits that narrow as more is known.

Whoever is named, and whatever is cut or lies outermost, has a letter of its own: in its dot, or
where dots lie on one another beside it, joined by a line. The letters are told above the figure, so
that no name lies on a dot, a line or another name, however narrow.
"""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme
from dashboards.figures import named, placing
from dashboards.figures.rows import NAME_LETTERS, named_by_letter
from dashboards.figures.trend import LIMITS_FILL

HEIGHT = 300
KEY_PX = 17
"""Height of one name above the figure [px]."""
FEW = 5
"""Subjects up to which each one has its letter [1]; chosen."""
NEAR = (0.065, 0.1)
"""Share of the width and of the height within which two dots with letters touch [1]; tried on a
phone."""
DOT_PX = 16
"""Size of a dot with a letter in it [px]."""
LETTER_PX = (9.0, 14.0)
"""Width and height of a letter with its ground [px]; tried."""
SIZES = ((244.0, 140.0), (244.0, 240.0), (407.0, 240.0))
"""Sizes between the axes on paper, on a phone and on a desk [px]; measured."""


@dataclass(frozen=True)
class FunnelPoint:
    """One subject: cases expected, found over expected with its interval, limits, hover words.

    `limits` hold 998 of 1,000 steady subjects of that size; None where too little was expected.
    `is_told` gives it its letter whatever else: some signal names it, if not for what is shown.
    """

    name: str
    expected: float
    ratio: float
    low: float
    high: float
    limits: tuple[float, float] | None
    is_named: bool
    words: str
    is_told: bool = False


def figure(points: Sequence[FunnelPoint], title: str) -> go.Figure:
    """Draw the funnel, its subjects with their intervals, and letters with names above them."""
    drawn = go.Figure()
    order = sorted(points, key=lambda point: point.expected)
    top = _top(order)
    _add_limits(drawn, [point for point in order if point.limits is not None])
    spans = [(one.expected, one.low, min(one.high, top)) for one in order]
    is_named = [one.is_named for one in order]
    named.add_intervals(drawn, spans, is_named, (1.5, 2.5), is_upright=True)
    _add_arrows(drawn, [order[i] for i in cut(order)], top)
    told = [point for point in points if _is_told(point, points)]
    letters = dict(zip([one.name for one in told], named_by_letter(len(told)), strict=True))
    close = _close(told, top)
    _add_dots(drawn, order, letters, {one.name for one in close})
    drawn.add_hline(y=1, line=theme.GUIDE)
    theme.frame(drawn, height=HEIGHT + KEY_PX * len(told), bottom=48)
    _add_key(drawn, letters)
    widest = 1.14 * max([1.0, *(one.expected for one in order)])
    space = placing.Space((0.0, widest), (-0.02 * top, 1.04 * top), SIZES)
    _add_letters(drawn, close, order, letters, space)
    drawn.update_xaxes(
        title={"text": title, "standoff": 6},
        range=list(space.x),
        nticks=6,
        showgrid=False,
    )
    drawn.update_yaxes(
        title={"text": "times the expected", "standoff": 4},
        range=list(space.y),
        nticks=6,
    )
    return drawn


def _top(points: Sequence[FunnelPoint]) -> float:
    """Return where the axis ends: above every dot and every limit, not above every interval."""
    limits = [point.limits[1] for point in points if point.limits]
    return 1.02 * max([2.0, *(one.ratio for one in points), *limits])


def cut(points: Sequence[FunnelPoint]) -> list[int]:
    """Return the places of those whose interval runs beyond the axis."""
    top = _top(points)
    return [i for i, one in enumerate(points) if one.high > top]


def _is_told(point: FunnelPoint, points: Sequence[FunnelPoint]) -> bool:
    """Tell whether it is named, cut, beyond its limits, or the highest or lowest of all."""
    ratios = [one.ratio for one in points]
    is_outer = point.ratio in (min(ratios), max(ratios)) or len(points) <= FEW
    if point.is_named or point.is_told or is_outer or point.high > _top(points):
        return True
    return point.limits is not None and not point.limits[0] <= point.ratio <= point.limits[1]


def _close(told: Sequence[FunnelPoint], top: float) -> list[FunnelPoint]:
    """Return those whose dots, each with its letter in it, would touch another such dot."""
    widest = max([1.0, *(one.expected for one in told)])
    return [
        one
        for one in told
        if any(
            abs(one.expected - other.expected) < NEAR[0] * widest
            and abs(one.ratio - other.ratio) < NEAR[1] * top
            for other in told
            if other is not one
        )
    ]


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


def _add_arrows(drawn: go.Figure, points: Sequence[FunnelPoint], top: float) -> None:
    """Point upwards where an interval runs on beyond the axis."""
    drawn.add_scatter(
        x=[point.expected for point in points],
        y=[top for _ in points],
        mode="markers",
        marker={
            "symbol": "triangle-up",
            "size": 9,
            "color": [named.colour(point.is_named) for point in points],
        },
        hoverinfo="skip",
        cliponaxis=False,
    )


def _add_dots(
    drawn: go.Figure, points: Sequence[FunnelPoint], letters: dict[str, str], close: set[str]
) -> None:
    """Draw the dots without a letter in them first, so that no dot lies on a letter."""
    for has_letter in (False, True):
        some = [one for one in points if (one.name in letters.keys() - close) == has_letter]
        size = (DOT_PX, DOT_PX + 4) if has_letter else (9, 13)
        drawn.add_scatter(
            x=[point.expected for point in some],
            y=[point.ratio for point in some],
            mode="markers+text" if has_letter else "markers",
            text=[f"<b>{letters[point.name]}</b>" if has_letter else "" for point in some],
            textposition="middle center",
            textfont={"size": 11, "color": "#ffffff"},
            marker=named.marks([point.is_named for point in some], *size),
            hovertext=[theme.safe_text(point.words, 200) for point in some],
            hoverinfo="text",
            cliponaxis=False,
        )


def _add_letters(
    drawn: go.Figure,
    close: Sequence[FunnelPoint],
    points: Sequence[FunnelPoint],
    letters: dict[str, str],
    space: placing.Space,
) -> None:
    """Write the letters of dots that lie on one another beside them, each joined to its dot."""
    obstacles = _obstacles(points, letters.keys() - {one.name for one in close}, space.y[1])
    wide, high = LETTER_PX
    labels = [
        placing.Label((one.expected, one.ratio), wide * len(letters[one.name]) + 4, high)
        for one in close
    ]
    for one, shift in zip(close, placing.shifts(labels, obstacles, space), strict=True):
        colour = named.colour(one.is_named)
        drawn.add_annotation(
            x=one.expected,
            y=one.ratio,
            text=f"<b>{letters[one.name]}</b>",
            font={"size": 11, "color": "#ffffff"},
            bgcolor=colour,
            borderpad=1,
            **placing.joined(shift, colour, 5.0),
        )


def _obstacles(
    points: Sequence[FunnelPoint], lettered: AbstractSet[str], top: float
) -> list[placing.Obstacle]:
    """Return what a letter may not lie on: dots, intervals and the marks of the limits."""
    found = []
    for one in points:
        radius = DOT_PX / 2 + 2 if one.name in lettered else 6.0
        found.append(placing.mark((one.expected, one.ratio), radius))
        ends = [(one.expected, one.low), (one.expected, min(one.high, top))]
        found += placing.line(ends, 1.5, 20.0)
        found += [placing.mark((one.expected, limit), 6.0) for limit in one.limits or ()]
    return found


def _add_key(drawn: go.Figure, letters: dict[str, str]) -> None:
    """Write the names above the figure, each after its letter, one a line."""
    drawn.update_layout(margin={"t": 12 + KEY_PX * len(letters)})
    for line, (name, letter) in enumerate(letters.items()):
        drawn.add_annotation(
            x=0,
            xref="paper",
            xanchor="left",
            y=1,
            yref="paper",
            yanchor="bottom",
            yshift=6 + KEY_PX * (len(letters) - 1 - line),
            text=f"<b>{letter}</b>  {theme.safe_text(name, NAME_LETTERS)}",
            showarrow=False,
            align="left",
        )
