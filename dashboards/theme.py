"""The one look: colours, marks, number formats and the frame of every figure.

Each verdict has a colour, a mark and a word of its own, so that none rests on colour alone. The
six colours keep a CIE76 distance of 14 or more from each other in full colour vision and under
simulated protanopia, deuteranopia and tritanopia; `tests/dashboards/test_theme.py` holds that.
"""

from __future__ import annotations

import html
import math
import re
from dataclasses import dataclass

import plotly.graph_objects as go

from analytics import plain

TEAL, OCHRE, VIOLET, RASPBERRY, GREY, UMBER = (
    "#067070",
    "#a8630a",
    "#a36fe2",
    "#bc3172",
    "#86909d",
    "#956e51",
)
COLOURS = (TEAL, OCHRE, VIOLET, RASPBERRY, GREY, UMBER)
"""Chosen of our own: no traffic light, no rainbow; readable on paper and on the dark page."""

LIGHT: dict[str, str] = {
    "paper": "#fbfaf6",
    "card": "#ffffff",
    "ink": "#1b242c",
    "muted": "#56626d",
    "rule": "#dcdad2",
    "accent": TEAL,
}
DARK: dict[str, str] = {
    "paper": "#12181d",
    "card": "#1a2229",
    "ink": "#e9e7e1",
    "muted": "#a3adb6",
    "rule": "#36414a",
    "accent": "#4fb5b1",
}
"""Tones of the page by their CSS variable; figures take ink, muted and rule from it too."""

FONT = '"Segoe UI", -apple-system, Roboto, "Liberation Sans", Arial, system-ui, sans-serif'


@dataclass(frozen=True)
class Mark:
    """How a verdict is drawn: colour, shape as plotly and as SVG path in a 16 × 16 box, word."""

    colour: str
    symbol: str
    path: str
    word: str


MARKS: dict[str, Mark] = {
    "normal": Mark(TEAL, "circle", "M8 3a5 5 0 1 0 .01 0z", "usual"),
    "overload": Mark(OCHRE, "square", "M3 3h10v10h-10z", "overload"),
    "suspect_connection": Mark(
        VIOLET, "diamond", "M8 1l7 7l-7 7l-7 -7z", "suspected connection or device fault"
    ),
    "overload_and_connection": Mark(
        RASPBERRY,
        "star",
        "M8 .5l2 5.3l5.5 .3l-4.3 3.5l1.5 5.4l-4.7 -3l-4.7 3l1.5 -5.4l-4.3 -3.5l5.5 -.3z",
        "overload and suspected fault",
    ),
    "cannot_judge": Mark(
        GREY, "circle-open", "M8 3a5 5 0 1 0 .01 0zM8 4.8a3.2 3.2 0 1 1 -.01 0z", "not judged"
    ),
    "recheck": Mark(
        UMBER, "x", "M3 5l2 -2l3 3l3 -3l2 2l-3 3l3 3l-2 2l-3 -3l-3 3l-2 -2l3 -3z", "recheck"
    ),
}
"""Verdict -> mark; the words are short forms of those in `analytics.columns.VERDICTS`."""

APART = Mark(VIOLET, "pentagon", "M8 1l7 5.1l-2.7 8.4h-8.6l-2.7 -8.4z", "stands apart")
"""The mark of who or what differs more than chance brings; no verdict has its shape."""

BAND_FILL = "rgba(6, 112, 112, 0.20)"
GAP = plain.GAP
PERCENT = f"{GAP}%"

GUIDE = {"color": GREY, "width": 1, "dash": "dot"}


@dataclass(frozen=True)
class RiseScale:
    """How rises are shown: `factor` [shown per K] and `symbol`; a difference, never plus 32."""

    factor: float
    symbol: str

    def shown(self, rise_k: float) -> float:
        """Turn a rise [K] into the shown unit."""
        return rise_k * self.factor

    def text(self, rise_k: float | None) -> str:
        """Write a rise [K] with its sign and unit; a dash where there is none."""
        if rise_k is None or not math.isfinite(rise_k):
            return "–"
        return f"{number(self.shown(rise_k))}{GAP}{self.symbol}"


def number(value: float) -> str:
    """Write a number without decimals, thousands set off, with a true minus."""
    return f"{round(value):,}".replace("-", "−")


def share(value: float | None, *, is_signed: bool = False) -> str:
    """Write a share [1] in percent; one decimal under a tenth; a dash where there is none."""
    if value is None or not math.isfinite(value):
        return "–"
    percent = 100.0 * value
    digits = 1 if abs(percent) < 10.0 else 0
    text = f"{percent:+.{digits}f}" if is_signed else f"{percent:.{digits}f}"
    return f"{text.replace('-', '−')}{PERCENT}"


def interval(low: float | None, high: float | None, *, is_signed: bool = False) -> str:
    """Write an interval of shares [1] in percent."""
    if low is None or high is None:
        return "–"
    ends = [share(end, is_signed=is_signed).removesuffix(PERCENT) for end in (low, high)]
    return f"{ends[0]} to {ends[1]}{PERCENT}"


def chance(value: float) -> str:
    """Write a probability [1] in percent, never as certain."""
    if value > 0.99:
        return f"over 99{PERCENT}"
    return f"under 1{PERCENT}" if value < 0.01 else f"{100 * value:.0f}{PERCENT}"


def printable(text: str) -> str:
    """Put text from a field file on one line, without control signs, blanks run together."""
    return re.sub(r" +", " ", plain.printable(text))


def safe_text(text: object, limit: int = 80) -> str:
    """Make text from a field file harmless in a figure: one line, cut, `<`, `>`, `&` escaped."""
    flat = printable(str(text)).strip()
    short = flat if len(flat) <= limit else flat[: limit - 1] + "…"
    return html.escape(short, quote=False)


def frame(figure: go.Figure, *, height: int, left: int = 48, bottom: int = 44) -> go.Figure:
    """Give a figure the common frame [px]: font, thin rules, no toolbar's room, still axes."""
    axis = {
        "fixedrange": True,
        "zeroline": False,
        "gridcolor": "rgba(134, 144, 157, 0.25)",
        "linecolor": GREY,
        "ticks": "outside",
        "ticklen": 4,
        "tickcolor": GREY,
    }
    base = {
        "template": go.layout.Template(),
        "height": height,
        "margin": {"l": left, "r": 14, "t": 12, "b": bottom, "pad": 2},
        "paper_bgcolor": "rgba(0,0,0,0)",
        "plot_bgcolor": "rgba(0,0,0,0)",
        "font": {"family": FONT, "size": 12, "color": GREY},
        "showlegend": False,
        "dragmode": False,
        "hovermode": "closest",
        "hoverlabel": {
            "bgcolor": LIGHT["ink"],
            "bordercolor": LIGHT["ink"],
            "font": {"family": FONT, "size": 12, "color": "#ffffff"},
            "align": "left",
        },
    }
    if any(name.startswith(("xaxis", "yaxis")) for name in figure.layout.to_plotly_json()):
        figure.update_xaxes(**axis)
        figure.update_yaxes(**axis)
    else:
        base |= {"xaxis": axis, "yaxis": axis}
    figure.layout.update(base, overwrite=True)
    return figure
