"""Missed faults against wasted visits: every policy worth having, with what is not known of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme

HEIGHT = 360
FAINT = "rgba(134, 144, 157, 0.55)"


@dataclass(frozen=True)
class FrontierPoint:
    """One policy: wasted visits and missed faults a quarter with their intervals, hover words.

    `name` stands beside a point that is marked; `is_best` gives it the star.
    """

    wasted: float
    missed: float
    wasted_ends: tuple[float, float]
    missed_ends: tuple[float, float]
    words: str
    name: str = ""
    is_best: bool = False


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
    drawn.add_scatter(
        x=x,
        y=y,
        mode="markers",
        marker={
            "color": [theme.VIOLET if one.name else theme.TEAL for one in points],
            "symbol": [_symbol(one) for one in points],
            "size": [(18 if one.is_best else 13) if one.name else 7 for one in points],
            "opacity": 1,
            "line": {"width": [1.5 if one.name else 0 for one in points], "color": "#ffffff"},
        },
        hovertext=[theme.safe_text(one.words, 200) for one in points],
        hoverinfo="text",
        cliponaxis=False,
    )
    theme.frame(drawn, height=HEIGHT, left=52)
    most_x = 1.04 * max(max(one.wasted_ends[1] for one in points), 1.0)
    most_y = 1.08 * max(max(one.missed_ends[1] for one in points), 1.0)
    drawn.update_xaxes(
        range=[-0.02 * most_x, most_x],
        nticks=7,
        title={"text": "visits in vain a quarter", "standoff": 6},
    )
    drawn.update_yaxes(
        range=[0, most_y], nticks=7, title={"text": "faults missed a quarter", "standoff": 8}
    )
    drawn.update_layout(annotations=[_name(one, most_x) for one in points if one.name])
    return drawn


def _symbol(one: FrontierPoint) -> str:
    if not one.name:
        return "circle"
    return "star" if one.is_best else "square"


def _name(one: FrontierPoint, most_x: float) -> dict[str, object]:
    """Write a name beside its point where the falling curve is not: above right, or below left."""
    is_right = one.wasted > 0.6 * most_x
    return {
        "x": one.wasted,
        "y": one.missed,
        "text": theme.safe_text(one.name, 30),
        "showarrow": False,
        "xanchor": "right" if is_right else "left",
        "yanchor": "top" if is_right else "bottom",
        "xshift": -8 if is_right else 8,
        "yshift": -7 if is_right else 7,
        "font": {"size": 12},
    }


def _add_line(drawn: go.Figure, x: list[float], y: list[float], line: Mapping[str, object]) -> None:
    drawn.add_scatter(x=x, y=y, mode="lines", line=line, hoverinfo="skip")
