"""What figures of rows share: names from the top down, and a line across a row."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import plotly.graph_objects as go

from dashboards import theme

ROW_PX = 26
NAME_LETTERS = 40
"""Letters of a name in a figure at most [1]; chosen."""
LINE_LETTERS = 24
"""Letters of a line of a row's name at most [1]; chosen for a phone."""


def named_by_letter(count: int) -> list[str]:
    """Return a letter for each of `count`: a to z, then aa to az, and so on."""
    letters = "abcdefghijklmnopqrstuvwxyz"
    return [
        (letters[i // len(letters) - 1] if i >= len(letters) else "") + letters[i % len(letters)]
        for i in range(count)
    ]


def row_name(name: str) -> str:
    """Return a name fit for a row of a figure: harmless, and on two lines where it is long."""
    lines = [name[i : i + LINE_LETTERS] for i in range(0, len(name), LINE_LETTERS)]
    if len(lines) > 1:
        first = name[: LINE_LETTERS + 1]
        at = max(first.rfind(sign) for sign in " -_./") + 1
        at = at if len(name) - LINE_LETTERS <= at <= LINE_LETTERS else LINE_LETTERS
        lines = [name[:at], name[at:]]
    return "<br>".join(theme.safe_text(line, LINE_LETTERS) for line in lines)


def row_px(names: Sequence[str]) -> int:
    """Return the height of a row [px]: more where a name takes two lines."""
    return ROW_PX + 8 if any(len(name) > LINE_LETTERS for name in names) else ROW_PX


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


def add_dots(
    drawn: go.Figure,
    values: Sequence[float | None],
    words: Sequence[str],
    marker: Mapping[str, object],
) -> None:
    """Draw a dot a row from the top, which tells its words where it is pointed at."""
    drawn.add_scatter(
        x=list(values),
        y=list(range(len(values))),
        mode="markers",
        marker=dict(marker),
        hovertext=[theme.safe_text(one, 200) for one in words],
        hoverinfo="text",
        cliponaxis=False,
    )


def add_spans(
    drawn: go.Figure,
    spans: Sequence[tuple[float, float, float]],
    colour: str,
    width: float,
    *,
    is_upright: bool = False,
) -> None:
    """Draw many lines at once: (place, from, to) each, across rows or upright over places."""
    places = [x for place, _, _ in spans for x in (place, place, None)]
    ends = [x for _, low, high in spans for x in (low, high, None)]
    drawn.add_scatter(
        x=places if is_upright else ends,
        y=ends if is_upright else places,
        mode="lines",
        line={"color": colour, "width": width},
        hoverinfo="skip",
    )
