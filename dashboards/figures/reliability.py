"""Stated chances against what was found, both axes by log odds so that rare ones have room."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme

HEIGHT = 360
TICKS = (0.001, 0.01, 0.1, 0.5, 0.9, 0.99)
LEAST, MOST = 0.0002, 0.9998
"""Chances beyond are drawn at the ends, which say 0 and 100 % [1]; chosen, outside the ticks."""


@dataclass(frozen=True)
class ReliabilityPoint:
    """One band: stated and found chance, ends of the found one, the rising fit [1]; hover words."""

    stated: float
    found: float
    low: float
    high: float
    rising: float
    words: str


def figure(points: Sequence[ReliabilityPoint]) -> go.Figure:
    """Draw the bands with their intervals, the rising fit as a line, equality dotted."""
    drawn = go.Figure()
    ends = [_place(LEAST), _place(MOST)]
    drawn.add_scatter(x=ends, y=ends, mode="lines", line=theme.GUIDE, hoverinfo="skip")
    for one in points:
        drawn.add_scatter(
            x=[_place(one.stated)] * 2,
            y=[_place(one.low), _place(one.high)],
            mode="lines",
            line={"color": theme.TEAL, "width": 2},
            hoverinfo="skip",
        )
    drawn.add_scatter(
        x=[_place(one.stated) for one in points],
        y=[_place(one.rising) for one in points],
        mode="lines",
        line={"color": theme.OCHRE, "width": 1.5, "dash": "dash"},
        hoverinfo="skip",
    )
    drawn.add_scatter(
        x=[_place(one.stated) for one in points],
        y=[_place(one.found) for one in points],
        mode="markers",
        marker={"color": theme.TEAL, "size": 9, "opacity": 1},
        hovertext=[theme.safe_text(one.words, 200) for one in points],
        hoverinfo="text",
        cliponaxis=False,
    )
    theme.frame(drawn, height=HEIGHT, left=50)
    ticks = {
        "tickvals": [ends[0], *(_place(one) for one in TICKS), ends[1]],
        "ticktext": ["0", *(f"{100 * one:g}" for one in TICKS), "100"],
        "range": [ends[0] - 0.3, ends[1] + 0.3],
    }
    drawn.update_xaxes(**ticks, title={"text": "stated chance of a fault, %", "standoff": 6})
    drawn.update_yaxes(**ticks, title={"text": "share found faulty, %", "standoff": 4})
    return drawn


def _place(chance: float) -> float:
    """Return where a chance [1] stands on an axis of log odds, cut at the ends."""
    kept = min(max(chance, LEAST), MOST)
    return math.log(kept / (1 - kept))
