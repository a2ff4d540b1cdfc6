"""Estimates one under the other: a dot, its 95 % interval, and behind it what was known before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme
from dashboards.figures.rows import ROW_PX, add_dots, add_line, name_rows

PRIOR_LINE = "rgba(134, 144, 157, 0.35)"


@dataclass(frozen=True)
class EstimatePoint:
    """One row: label, value with interval, the prior's interval, all in the shown unit."""

    label: str
    value: float
    low: float
    high: float
    prior_low: float
    prior_high: float
    is_prior: bool
    words: str


def figure(points: Sequence[EstimatePoint], symbol: str) -> go.Figure:
    """Draw the rows from top to bottom; an open circle is the prior alone."""
    drawn = go.Figure()
    for row, point in enumerate(points):
        add_line(drawn, row, (point.prior_low, point.prior_high), PRIOR_LINE, 9)
        if not point.is_prior:
            add_line(drawn, row, (point.low, point.high), theme.TEAL, 3)
    add_dots(
        drawn,
        [point.value for point in points],
        [point.words for point in points],
        {
            "color": [theme.GREY if p.is_prior else theme.TEAL for p in points],
            "symbol": ["circle-open" if p.is_prior else "circle" for p in points],
            "size": 9,
            "opacity": 1,
            "line": {"width": [2 if p.is_prior else 0 for p in points]},
        },
    )
    theme.frame(drawn, height=ROW_PX * len(points) + 62, left=30, bottom=44)
    most = max([1.0, *(max(p.prior_high, p.high) for p in points)])
    drawn.update_xaxes(
        range=[0, 1.03 * most], nticks=6, title={"text": f"rise at rating, {symbol}", "standoff": 6}
    )
    name_rows(drawn, [point.label for point in points])
    return drawn
