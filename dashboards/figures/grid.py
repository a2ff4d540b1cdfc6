"""Shares on a grid of rows and load bands, each with its number; what stands off has a mark."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import plotly.graph_objects as go

from dashboards import theme

ROW_PX = 32
EDGES = ("10", "20", "40", "60", "80", "100")
"""Edges between the load bands [% of rating], as the macro load_band has them."""
FILLS = {
    "usual": "rgba(6, 112, 112, 0.16)",
    "below": "rgba(163, 111, 226, 0.42)",
    "above": "rgba(168, 99, 10, 0.34)",
    "few": "rgba(134, 144, 157, 0.10)",
}
SIGNS = {"usual": "", "below": "▾", "above": "▴", "few": ""}


@dataclass(frozen=True)
class GridCell:
    """One cell: row, load band (0 all loads, 1 … 7), text, how it stands, hover words."""

    row: int
    band: int
    text: str
    standing: str
    words: str


def figure(names: Sequence[str], cells: Sequence[GridCell]) -> go.Figure:
    """Draw the cells; `standing` is usual, below, above or few."""
    drawn = go.Figure()
    drawn.add_scatter(
        x=[_place(cell.band) for cell in cells],
        y=[cell.row for cell in cells],
        mode="text",
        text=[cell.text + SIGNS[cell.standing] for cell in cells],
        textfont={"size": 11},
        hovertext=[theme.safe_text(cell.words, 200) for cell in cells],
        hoverinfo="text",
    )
    theme.frame(drawn, height=ROW_PX * len(names) + 66, left=30, bottom=44)
    drawn.update_layout(margin={"t": 6, "r": 6}, shapes=[_box(cell) for cell in cells])
    drawn.update_xaxes(
        tickvals=[_place(0), *(number + 0.5 for number in range(1, 7))],
        ticktext=["all", *EDGES],
        range=[-0.75, 7.55],
        showgrid=False,
        ticks="",
        title={"text": "load, % of rating", "standoff": 6},
    )
    drawn.update_yaxes(
        tickvals=list(range(len(names))),
        ticktext=list(names),
        range=[len(names) - 0.4, -0.6],
        automargin=True,
        showgrid=False,
        ticks="",
    )
    return drawn


def _place(band: int) -> float:
    """Set the column of all loads a little apart from the bands."""
    return -0.15 if band == 0 else float(band)


def _box(cell: GridCell) -> dict[str, Any]:
    x = _place(cell.band)
    return {
        "type": "rect",
        "x0": x - 0.47,
        "x1": x + 0.47,
        "y0": cell.row - 0.45,
        "y1": cell.row + 0.45,
        "fillcolor": FILLS[cell.standing],
        "line": {"width": 0},
        "layer": "below",
    }
