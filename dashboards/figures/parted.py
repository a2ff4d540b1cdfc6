"""Shares in parts: one bar a row, its parts in tones from dark to light."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme
from dashboards.figures.rows import ROW_PX, name_rows

TONES = ("#067070", "#6fb1ae", "#c3d9d7", "#86909d")
"""Chosen to differ in lightness alone, so that they stay apart in grey; the last takes the rest."""


@dataclass(frozen=True)
class PartedRow:
    """One row: label, its parts [%] in the order of the tones, hover words of each."""

    label: str
    percents: Sequence[float]
    words: Sequence[str]


def figure(rows: Sequence[PartedRow]) -> go.Figure:
    """Draw the rows from top to bottom on an axis from 0 to 100 %."""
    drawn = go.Figure()
    for part, tone in enumerate(TONES):
        drawn.add_bar(
            x=[row.percents[part] if part < len(row.percents) else 0.0 for row in rows],
            y=list(range(len(rows))),
            orientation="h",
            marker={"color": tone, "line": {"width": 0}},
            hovertext=[
                theme.safe_text(row.words[part], 200) if part < len(row.words) else ""
                for row in rows
            ],
            hoverinfo="text",
        )
    theme.frame(drawn, height=ROW_PX * len(rows) + 46, left=30, bottom=28)
    drawn.update_layout(barmode="stack", bargap=0.35)
    drawn.update_xaxes(range=[0, 100], ticksuffix=" %", dtick=25)
    name_rows(drawn, [row.label for row in rows])
    return drawn
