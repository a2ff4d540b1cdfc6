"""How figures tell the few that stand apart from the rest: by a mark of their own, not a dot."""

from __future__ import annotations

from collections.abc import Sequence

import plotly.graph_objects as go

from dashboards import theme
from dashboards.figures.rows import add_spans


def colour(is_named: bool) -> str:
    """Return the colour of one that is named, or of one of the rest."""
    return theme.APART.colour if is_named else theme.TEAL


def marks(named: Sequence[bool], size: int = 9, named_size: int = 13) -> dict[str, object]:
    """Return plotly's markers, one a point; sizes in px."""
    return {
        "color": [colour(one) for one in named],
        "symbol": [theme.APART.symbol if one else "circle" for one in named],
        "size": [named_size if one else size for one in named],
        "opacity": 1,
    }


def add_intervals(
    drawn: go.Figure,
    spans: Sequence[tuple[float, float, float]],
    named: Sequence[bool],
    widths: tuple[float, float],
    *,
    is_upright: bool = False,
) -> None:
    """Draw intervals, (place, from, to) each, those that are named above the rest.

    `widths` are those of the rest and of the named [px].
    """
    for is_named, width in zip((False, True), widths, strict=True):
        some = [span for span, one in zip(spans, named, strict=True) if one == is_named]
        if some:
            add_spans(drawn, some, colour(is_named), width, is_upright=is_upright)
