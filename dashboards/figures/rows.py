"""What figures of rows share: names from the top down, and a line across a row."""

from __future__ import annotations

from collections.abc import Sequence

import plotly.graph_objects as go

ROW_PX = 26


def name_rows(drawn: go.Figure, labels: Sequence[str]) -> None:
    """Name the rows of a figure from the top, without ticks or rules."""
    drawn.update_yaxes(
        tickvals=list(range(len(labels))),
        ticktext=list(labels),
        range=[len(labels) - 0.4, -0.6],
        automargin=True,
        showgrid=False,
        ticklen=8,
        tickcolor="rgba(0, 0, 0, 0)",
    )


def add_line(
    drawn: go.Figure, row: float, ends: tuple[float, float], colour: str, width: float
) -> None:
    """Draw a line across a row, from end to end."""
    drawn.add_scatter(
        x=list(ends),
        y=[row, row],
        mode="lines",
        line={"color": colour, "width": width},
        hoverinfo="skip",
    )
