"""A panel as its two columns of slots: odd left, even right, the main on top."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import plotly.graph_objects as go

from dashboards import theme

ROW_PX = 22
FILL = "rgba(134, 144, 157, 0.13)"
CLEAR = "rgba(0, 0, 0, 0)"
EDGE = "rgba(134, 144, 157, 0.55)"
MAIN_ROW = -0.35
BOX_LETTERS = 21
"""Letters that a box holds beside its mark on paper [1]; tried."""
LEFT, RIGHT, MAIN = (0.0, 0.985), (1.015, 2.0), (0.35, 1.65)


@dataclass(frozen=True)
class SlotBox:
    """One device: its slot, how many poles it takes, its words, rise as shown, verdict.

    `termination` is the rise there, where it was what the case was judged by. A reading that
    contradicts itself is drawn with its mark and word, never with its number.
    """

    position: int
    poles: int
    title: str
    rise: str
    verdict: str
    words: str
    is_case: bool
    termination: str = ""

    @property
    def shown(self) -> str:
        """What stands at its right edge."""
        if self.verdict == "recheck":
            return theme.MARKS["recheck"].word
        return f"{self.rise} · term. {self.termination}" if self.termination else self.rise

    @property
    def short_title(self) -> str:
        """Its title, or only the rating where a word stands at the right edge; of a main both."""
        if not self.position or len(self.title) + len(self.shown) <= BOX_LETTERS:
            return self.title
        return " ".join(self.title.split()[:2])

    @property
    def row(self) -> float:
        """The row of its first pole, from 1; the main above all."""
        return (self.position + 1) // 2 if self.position else MAIN_ROW

    @property
    def height(self) -> int:
        """The rows it takes."""
        return max(self.poles, 1) if self.position else 1

    @property
    def slots(self) -> range:
        """The slot numbers it takes in its column; the main takes none."""
        return range(self.position, self.position + 2 * self.height * bool(self.position), 2)

    @property
    def middle(self) -> float:
        """The height of the middle of its box, in rows."""
        return self.row + (self.height - 1) / 2

    @property
    def span(self) -> tuple[float, float]:
        """Its left and right edge."""
        return _span(self.position) if self.position else MAIN


def figure(boxes: Sequence[SlotBox]) -> go.Figure:
    """Draw every slot down to the last one taken; the case's own slot has a thick edge."""
    rows = max([1, *(int(box.row) + box.height - 1 for box in boxes if box.position)])
    top = MAIN_ROW - 0.8 if any(box.position == 0 for box in boxes) else 0.3
    drawn = go.Figure()
    _numbers(drawn, rows)
    _texts(drawn, boxes)
    _marks(drawn, boxes)
    theme.frame(drawn, height=round(ROW_PX * (rows + 0.75 - top)) + 10)
    drawn.update_layout(
        margin={"l": 2, "r": 2, "t": 5, "b": 5},
        shapes=[_enclosure(rows, top), *_empty(boxes, rows), *_devices(boxes)],
    )
    drawn.update_xaxes(visible=False, range=[-0.19, 2.19])
    drawn.update_yaxes(visible=False, range=[rows + 0.75, top])
    return drawn


def _span(position: int) -> tuple[float, float]:
    return LEFT if position % 2 else RIGHT


def _rectangle(
    span: tuple[float, float], top: float, bottom: float, fill: str, line: dict[str, Any]
) -> dict[str, Any]:
    return {
        "type": "rect",
        "x0": span[0],
        "x1": span[1],
        "y0": top,
        "y1": bottom,
        "fillcolor": fill,
        "line": line,
        "layer": "below",
    }


def _enclosure(rows: int, top: float) -> dict[str, Any]:
    edge = {"color": EDGE, "width": 1.5}
    return _rectangle((-0.17, 2.17), top + 0.05, rows + 0.68, CLEAR, edge)


def _empty(boxes: Sequence[SlotBox], rows: int) -> list[dict[str, Any]]:
    taken = {slot for box in boxes for slot in box.slots}
    line = {"color": EDGE, "width": 0.5, "dash": "dot"}
    free = [slot for slot in range(1, 2 * rows + 1) if slot not in taken]
    return [
        _rectangle(_span(s), (s + 1) // 2 - 0.46, (s + 1) // 2 + 0.46, CLEAR, line) for s in free
    ]


def _devices(boxes: Sequence[SlotBox]) -> list[dict[str, Any]]:
    """Return the devices' boxes, the case last so that its edge lies on top."""
    return [
        _rectangle(
            box.span,
            box.row - 0.46,
            box.row + box.height - 0.54,
            FILL,
            {"color": theme.MARKS[box.verdict].colour, "width": 3}
            if box.is_case
            else {"color": EDGE, "width": 1},
        )
        for box in sorted(boxes, key=lambda one: one.is_case)
    ]


def _numbers(drawn: go.Figure, rows: int) -> None:
    slots = range(1, 2 * rows + 1)
    drawn.add_scatter(
        x=[-0.02 if slot % 2 else 2.02 for slot in slots],
        y=[(slot + 1) // 2 for slot in slots],
        mode="text",
        text=[str(slot) for slot in slots],
        textposition=["middle left" if slot % 2 else "middle right" for slot in slots],
        textfont={"size": 9},
        hoverinfo="skip",
        cliponaxis=False,
    )


def _texts(drawn: go.Figure, boxes: Sequence[SlotBox]) -> None:
    """Write each device's title from its mark on, and its rise up to the right edge.

    Where there is no room for both, the rating stands for the title.
    """
    for side, shown, places in (
        (
            "middle right",
            [box.short_title for box in boxes],
            [box.span[0] + 0.135 for box in boxes],
        ),
        ("middle left", [box.shown for box in boxes], [box.span[1] - 0.02 for box in boxes]),
    ):
        texts = [theme.safe_text(text, 24) for text in shown]
        drawn.add_scatter(
            x=places,
            y=[box.middle for box in boxes],
            mode="text",
            text=[f"<b>{t}</b>" if b.is_case else t for t, b in zip(texts, boxes, strict=True)],
            textposition=side,
            textfont={"size": 10.5},
            hoverinfo="skip",
        )


def _marks(drawn: go.Figure, boxes: Sequence[SlotBox]) -> None:
    marks = [theme.MARKS[box.verdict] for box in boxes]
    drawn.add_scatter(
        x=[box.span[0] + 0.062 for box in boxes],
        y=[box.middle for box in boxes],
        mode="markers",
        marker={
            "symbol": [mark.symbol for mark in marks],
            "color": [mark.colour for mark in marks],
            "size": [11 if box.is_case else 8 for box in boxes],
            "opacity": 1,
            "line": {"width": [1.5 if mark.symbol.endswith("open") else 0 for mark in marks]},
        },
        hovertext=[theme.safe_text(box.words, 200) for box in boxes],
        hoverinfo="text",
    )
