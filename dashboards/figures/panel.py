"""A panel as its two columns of slots: odd left, even right, the main on top."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from dashboards import theme

ROW_PX = 22
FILL = "rgba(134, 144, 157, 0.13)"
EDGE = "rgba(134, 144, 157, 0.55)"
LEFT, RIGHT = (0.0, 0.985), (1.015, 2.0)


@dataclass(frozen=True)
class SlotBox:
    """One device: its slot, how many rows it takes, its words, rise as shown, verdict."""

    position: int
    poles: int
    title: str
    rise: str
    verdict: str
    words: str
    is_case: bool


def figure(boxes: Sequence[SlotBox]) -> go.Figure:
    """Draw every slot down to the last one taken; the case's own slot has a thick edge."""
    rows = max([1, *(_row(box) + max(box.poles, 1) - 1 for box in boxes)])
    drawn = go.Figure()
    taken = {slot for box in boxes for slot in _slots(box)}
    for slot in range(1, 2 * rows + 1):
        if slot not in taken:
            _rectangle(drawn, _span(slot), (slot + 1) // 2, 1, is_empty=True)
    for box in sorted(boxes, key=lambda one: one.is_case):
        _device(drawn, box)
    _numbers(drawn, rows)
    _texts(drawn, boxes)
    _marks(drawn, boxes)
    theme.frame(drawn, height=ROW_PX * (rows + 2) + 16, left=8, bottom=4)
    drawn.update_layout(margin={"l": 8, "r": 8, "t": 6, "b": 4})
    drawn.update_xaxes(visible=False, range=[-0.17, 2.17])
    drawn.update_yaxes(visible=False, range=[rows + 0.65, -1.15])
    return drawn


def _row(box: SlotBox) -> int:
    return (box.position + 1) // 2


def _slots(box: SlotBox) -> range:
    if box.position == 0:
        return range(0)
    return range(box.position, box.position + 2 * max(box.poles, 1), 2)


def _span(position: int) -> tuple[float, float]:
    if position == 0:
        return 0.35, 1.65
    return LEFT if position % 2 else RIGHT


def _height(box: SlotBox) -> int:
    return 1 if box.position == 0 else max(box.poles, 1)


def _rectangle(
    drawn: go.Figure,
    span: tuple[float, float],
    row: int,
    height: int,
    *,
    is_empty: bool = False,
    edge: str = EDGE,
    width: float = 1.0,
) -> None:
    drawn.add_shape(
        type="rect",
        x0=span[0],
        x1=span[1],
        y0=row - 0.46,
        y1=row + height - 0.54,
        fillcolor="rgba(0,0,0,0)" if is_empty else FILL,
        line={"color": edge, "width": 0.5 if is_empty else width, "dash": _dash(is_empty)},
        layer="below",
    )


def _dash(is_empty: bool) -> str:
    return "dot" if is_empty else "solid"


def _device(drawn: go.Figure, box: SlotBox) -> None:
    edge = theme.MARKS[box.verdict].colour if box.is_case else EDGE
    row = _row(box) if box.position else -0.35
    _rectangle(
        drawn, _span(box.position), row, _height(box), edge=edge, width=3 if box.is_case else 1
    )


def _place(box: SlotBox) -> float:
    """Return the height of the middle of the device's box."""
    return -0.35 if box.position == 0 else _row(box) + (_height(box) - 1) / 2


def _numbers(drawn: go.Figure, rows: int) -> None:
    slots = range(1, 2 * rows + 1)
    drawn.add_scatter(
        x=[-0.035 if slot % 2 else 2.035 for slot in slots],
        y=[(slot + 1) // 2 for slot in slots],
        mode="text",
        text=[str(slot) for slot in slots],
        textposition=["middle left" if slot % 2 else "middle right" for slot in slots],
        textfont={"size": 9},
        hoverinfo="skip",
        cliponaxis=False,
    )


def _texts(drawn: go.Figure, boxes: Sequence[SlotBox]) -> None:
    for is_rise, side in ((False, "middle right"), (True, "middle left")):
        drawn.add_scatter(
            x=[
                _span(b.position)[1] - 0.02 if is_rise else _span(b.position)[0] + 0.115
                for b in boxes
            ],
            y=[_place(box) for box in boxes],
            mode="text",
            text=[
                (f"<b>{theme.safe_text(t)}</b>" if box.is_case else theme.safe_text(t))
                for box in boxes
                for t in (box.rise if is_rise else box.title,)
            ],
            textposition=side,
            textfont={"size": 10.5},
            hoverinfo="skip",
        )


def _marks(drawn: go.Figure, boxes: Sequence[SlotBox]) -> None:
    marks = [theme.MARKS[box.verdict] for box in boxes]
    drawn.add_scatter(
        x=[_span(box.position)[0] + 0.07 for box in boxes],
        y=[_place(box) for box in boxes],
        mode="markers",
        marker={
            "symbol": [mark.symbol for mark in marks],
            "color": [mark.colour for mark in marks],
            "size": [12 if box.is_case else 8 for box in boxes],
        },
        hovertext=[theme.safe_text(box.words, 200) for box in boxes],
        hoverinfo="text",
    )
