"""Residuals by level: median, the middle half and the middle eight tenths, around nil."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme
from dashboards.figures import named
from dashboards.figures.rows import ROW_PX, add_dots, add_line, name_rows

LEAST_REACH, MOST_REACH = 2.2, 4.0
"""How far the axis goes at least and at most [healthy spreads]; chosen: wide lines are cut."""


@dataclass(frozen=True)
class SpreadRow:
    """One level: label, five quantiles in healthy spreads (10, 25, 50, 75, 90 %), hover words."""

    label: str
    quantiles: tuple[float, float, float, float, float]
    is_apart: bool
    words: str


def figure(rows: Sequence[SpreadRow]) -> go.Figure:
    """Draw the rows from top to bottom; those apart have their mark, the others circles."""
    drawn = go.Figure()
    reach = max([LEAST_REACH, *(1.05 * abs(q) for row in rows for q in row.quantiles)])
    reach = min(reach, MOST_REACH)
    for number, row in enumerate(rows):
        colour = named.colour(row.is_apart)
        low, low_quarter, _, high_quarter, high = (
            max(min(q, reach), -reach) for q in row.quantiles
        )
        add_line(drawn, number, (low, high), colour, 1.5)
        add_line(drawn, number, (low_quarter, high_quarter), colour, 6)
    add_dots(
        drawn,
        [max(min(row.quantiles[2], reach), -reach) for row in rows],
        [row.words for row in rows],
        {
            **named.marks([row.is_apart for row in rows]),
            "size": 12,
            "line": {"width": 1.5, "color": "#ffffff"},
        },
    )
    drawn.add_vline(x=0, line=theme.GUIDE)
    theme.frame(drawn, height=ROW_PX * len(rows) + 46, left=30, bottom=28)
    step = 1 if reach < 3.0 else 2
    last = int(reach) // step * step
    ticks = range(-last, last + 1, step)
    drawn.update_xaxes(
        range=[-reach, reach],
        tickangle=0,
        tickvals=list(ticks),
        ticktext=[f"{tick:+d}".replace("-", "−") if tick else "0" for tick in ticks],
    )
    name_rows(drawn, [row.label for row in rows])
    return drawn
