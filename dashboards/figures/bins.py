"""Counts or shares by bin as upright bars, with the level that was to be expected."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme

HEIGHT = 240


@dataclass(frozen=True)
class Bin:
    """One bar: its height and hover words."""

    value: float
    words: str


def figure(
    bins: Sequence[Bin],
    edges: Sequence[str],
    title: str,
    *,
    expected: float | None = None,
    suffix: str = "",
) -> go.Figure:
    """Draw the bars from left to right and the expected height as a dotted line.

    `edges` name the ends of the bars, one more than there are bars; an empty one has no tick.
    """
    named = [place for place, edge in enumerate(edges) if edge]
    drawn = go.Figure()
    drawn.add_bar(
        x=list(range(len(bins))),
        y=[one.value for one in bins],
        marker={"color": theme.TEAL, "line": {"width": 0}},
        hovertext=[theme.safe_text(one.words, 200) for one in bins],
        hoverinfo="text",
    )
    theme.frame(drawn, height=HEIGHT, bottom=44)
    if expected is not None:
        drawn.add_hline(y=expected, line={**theme.GUIDE, "width": 2})
    drawn.update_layout(bargap=0.15)
    drawn.update_xaxes(
        tickvals=[place - 0.5 for place in named],
        ticktext=[edges[place] for place in named],
        range=[-0.55, len(bins) - 0.45],
        showgrid=False,
        title={"text": title, "standoff": 6},
    )
    drawn.update_yaxes(rangemode="tozero", nticks=5, ticksuffix=suffix, automargin=True)
    return drawn
