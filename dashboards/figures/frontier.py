"""Missed faults against wasted visits: every policy worth having, with what is not known of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme
from dashboards.figures import placing

HEIGHT = 360
SIZES = ((253.0, 294.0), (266.0, 304.0), (396.0, 304.0))
"""Sizes between the axes on paper, on a phone and on a desk [px]; measured."""
LETTER_PX, NAME_PX = 6.4, 16.0
"""Width of a letter and height of a name [px]; tried."""
SYMBOLS = {"in force": "square", "proposed": "star", "surer": "triangle-up", "least cost": "cross"}
"""Mark of each kind of policy that is named; the first that fits is drawn."""
FAINT = "rgba(134, 144, 157, 0.55)"


@dataclass(frozen=True)
class FrontierPoint:
    """One policy: wasted visits and missed faults a quarter with their intervals, hover words.

    `name` stands beside a point that is marked, `kind` of SYMBOLS says how.
    """

    wasted: float
    missed: float
    wasted_ends: tuple[float, float]
    missed_ends: tuple[float, float]
    words: str
    name: str = ""
    kind: str = ""

    @property
    def size(self) -> int:
        """The size of its mark [px]."""
        return (18 if self.kind == "proposed" else 13) if self.name else 7


def figure(
    points: Sequence[FrontierPoint], same_cost: tuple[tuple[float, float], ...] = ()
) -> go.Figure:
    """Draw the policies joined by a line; `same_cost` holds the ends of a dotted line, if any."""
    drawn = go.Figure()
    if same_cost:
        _add_line(drawn, [x for x, _ in same_cost], [y for _, y in same_cost], theme.GUIDE)
    for one in points:
        line = {"color": theme.VIOLET if one.name else FAINT, "width": 2 if one.name else 1}
        _add_line(drawn, list(one.wasted_ends), [one.missed, one.missed], line)
        _add_line(drawn, [one.wasted, one.wasted], list(one.missed_ends), line)
    x, y = [one.wasted for one in points], [one.missed for one in points]
    _add_line(drawn, x, y, {"color": theme.TEAL, "width": 1.5})
    _add_marks(drawn, points)
    theme.frame(drawn, height=HEIGHT, left=52)
    most_x = 1.04 * max(max(one.wasted_ends[1] for one in points), 1.0)
    most_y = 1.08 * max(max(one.missed_ends[1] for one in points), 1.0)
    space = placing.Space((-0.02 * most_x, most_x), (0.0, most_y), SIZES)
    _add_names(drawn, points, same_cost, space)
    drawn.update_xaxes(
        range=list(space.x),
        nticks=7,
        title={"text": "visits in vain a quarter", "standoff": 6},
    )
    drawn.update_yaxes(
        range=list(space.y), nticks=7, title={"text": "faults missed a quarter", "standoff": 8}
    )
    return drawn


def _add_marks(drawn: go.Figure, points: Sequence[FrontierPoint]) -> None:
    drawn.add_scatter(
        x=[one.wasted for one in points],
        y=[one.missed for one in points],
        mode="markers",
        marker={
            "color": [theme.VIOLET if one.name else theme.TEAL for one in points],
            "symbol": [SYMBOLS.get(one.kind, "circle") for one in points],
            "size": [one.size for one in points],
            "opacity": 1,
            "line": {"width": [1.5 if one.name else 0 for one in points], "color": "#ffffff"},
        },
        hovertext=[theme.safe_text(one.words, 200) for one in points],
        hoverinfo="text",
        cliponaxis=False,
    )


def _add_names(
    drawn: go.Figure,
    points: Sequence[FrontierPoint],
    same_cost: Sequence[placing.Place],
    space: placing.Space,
) -> None:
    """Write the names clear of marks and lines, each joined to its mark."""
    named = [one for one in points if one.name]
    labels = [
        placing.Label((one.wasted, one.missed), LETTER_PX * len(one.name), NAME_PX) for one in named
    ]
    found = placing.shifts(labels, _obstacles(points, same_cost), space)
    for one, shift in zip(named, found, strict=True):
        drawn.add_annotation(
            x=one.wasted,
            y=one.missed,
            text=theme.safe_text(one.name, 30),
            font={"size": 12},
            borderpad=0,
            **placing.joined(shift, theme.VIOLET, one.size / 2),
        )


def _obstacles(
    points: Sequence[FrontierPoint], same_cost: Sequence[placing.Place]
) -> list[placing.Obstacle]:
    """Return what a name may not lie on: marks, the curve, intervals, the line of same cost."""
    places = [(one.wasted, one.missed) for one in points]
    found = [*placing.line(places, 2.0, 60.0), *placing.line(list(same_cost), 1.0, 20.0)]
    for one, at in zip(points, places, strict=True):
        found.append(placing.mark(at, one.size / 2 + 2))
        cost = 30.0 if one.name else 12.0
        found += placing.line([(end, one.missed) for end in one.wasted_ends], 1.0, cost)
        found += placing.line([(one.wasted, end) for end in one.missed_ends], 1.0, cost)
    return found


def _add_line(drawn: go.Figure, x: list[float], y: list[float], line: Mapping[str, object]) -> None:
    drawn.add_scatter(x=x, y=y, mode="lines", line=line, hoverinfo="skip")
