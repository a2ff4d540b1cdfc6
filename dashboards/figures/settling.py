"""How the fit settled: what each round still moved, on a scale of tenfolds."""

from __future__ import annotations

from collections.abc import Sequence

import plotly.graph_objects as go

from dashboards import theme

HEIGHT = 240
LEAST = 1e-6
"""What moved less is drawn here [1]; chosen, far under any tolerance."""


def figure(largest: Sequence[float], tolerance: float) -> go.Figure:
    """Draw the largest change by round and the tolerance as a dotted line."""
    drawn = go.Figure()
    rounds = list(range(1, len(largest) + 1))
    drawn.add_scatter(
        x=rounds,
        y=[max(value, LEAST) for value in largest],
        mode="lines+markers",
        line={"color": theme.TEAL, "width": 1.5},
        marker={"color": theme.TEAL, "size": 7},
        hovertext=[f"round {n}: {value:.2g}" for n, value in zip(rounds, largest, strict=True)],
        hoverinfo="text",
        cliponaxis=False,
    )
    drawn.add_hline(y=tolerance, line={**theme.GUIDE, "width": 2})
    theme.frame(drawn, height=HEIGHT, bottom=44)
    drawn.update_xaxes(
        range=[0.4, len(largest) + 0.6],
        nticks=7,
        tickformat="d",
        showgrid=False,
        title={"text": "round of the fit", "standoff": 6},
    )
    drawn.update_yaxes(type="log", dtick=1, exponentformat="power", automargin=True)
    return drawn
