"""Differences one under the other: a dot and its 95 % interval, zero, and where steady ones lie."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme
from dashboards.figures import named
from dashboards.figures.rows import add_dots, add_spans, name_rows, row_name, row_px
from dashboards.figures.trend import LIMITS_FILL

PAD = 0.05
"""Room beside the longest interval [1]; chosen."""


@dataclass(frozen=True)
class OffsetRow:
    """One row: difference with its interval in the shown unit, limit of steady ones, hover words.

    Named ones have the mark of what stands apart.
    """

    label: str
    value: float
    low: float
    high: float
    limit: float | None
    is_named: bool
    words: str


def figure(rows: Sequence[OffsetRow], title: str) -> go.Figure:
    """Draw the rows from top to bottom on one axis, zero dotted, limits as bars behind."""
    drawn = go.Figure()
    limits = [(i, -row.limit, row.limit) for i, row in enumerate(rows) if row.limit is not None]
    if limits:
        add_spans(drawn, limits, LIMITS_FILL, 16)
    is_named = [row.is_named for row in rows]
    spans = [(i, row.low, row.high) for i, row in enumerate(rows)]
    named.add_intervals(drawn, spans, is_named, (2.0, 4.0))
    words = [row.words for row in rows]
    add_dots(drawn, [row.value for row in rows], words, named.marks(is_named))
    drawn.add_vline(x=0, line=theme.GUIDE)
    labels = [row.label for row in rows]
    theme.frame(drawn, height=row_px(labels) * len(rows) + 62, left=30, bottom=44)
    drawn.update_xaxes(range=_range(rows), nticks=6, title={"text": title, "standoff": 6})
    name_rows(drawn, [row_name(label) for label in labels])
    return drawn


def _range(rows: Sequence[OffsetRow]) -> list[float]:
    """Return the ends of the axis: all intervals, limits and zero, with room beside."""
    limits = [row.limit or 0.0 for row in rows]
    low = min([*(row.low for row in rows), -max(limits)])
    high = max([*(row.high for row in rows), max(limits)])
    room = PAD * (max(high, 0.0) - min(low, 0.0)) or 1.0
    return [min(low, 0.0) - room, max(high, 0.0) + room]
