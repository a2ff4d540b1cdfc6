"""The look: colours that everyone can tell apart, marks, number formats, harmless text."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from numpy.typing import NDArray

from analytics.columns import CLASS_WORDS, DEVICE_CLASSES, VERDICTS
from dashboards import theme
from dashboards.pages.quarter import rise_scale

Array = NDArray[np.float64]

VISION: dict[str, list[list[float]]] = {
    "full": [[1, 0, 0], [0, 1, 0], [0, 0, 1]],
    "protanopia": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deuteranopia": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritanopia": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
}
"""Linear RGB as seen: Machado, Oliveira & Fernandes, IEEE TVCG 2009, severity 1 (from memory)."""
XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
WHITE = np.array([0.9505, 1.0, 1.089])


def _linear(colour: str) -> Array:
    """Return linear RGB of a hex colour (IEC 61966-2-1)."""
    v = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255.0
    return np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)


def _lab(linear: Array) -> Array:
    x = XYZ @ np.clip(linear, 0, 1) / WHITE
    f = np.where(x > 0.008856, np.cbrt(x), 7.787 * x + 16 / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


@pytest.mark.parametrize("vision", VISION)
def test_colours_can_be_told_apart(vision: str) -> None:
    seen = [_lab(np.array(VISION[vision]) @ _linear(colour)) for colour in theme.COLOURS]
    assert min(float(np.linalg.norm(a - b)) for a, b in combinations(seen, 2)) >= 14.0


@pytest.mark.parametrize("colour", theme.COLOURS)
@pytest.mark.parametrize("ground", [theme.LIGHT["card"], theme.DARK["card"]])
def test_marks_stand_out_from_the_ground(colour: str, ground: str) -> None:
    """Contrast by WCAG 2.2, 1.4.11: at least 3 to 1 for what carries meaning.

    On the dark page marks are drawn 1.45 times as bright, see assets/page.css.
    """
    bright = 1.45 if ground == theme.DARK["card"] else 1.0
    shown = np.clip(bright * np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]), 0, 255)
    text = "#" + "".join(f"{round(float(part)):02x}" for part in shown)
    a, b = (float(_linear(c) @ XYZ[1]) for c in (text, ground))
    assert (max(a, b) + 0.05) / (min(a, b) + 0.05) >= 3.0


@pytest.mark.parametrize("tones", [theme.LIGHT, theme.DARK])
@pytest.mark.parametrize("name", ["ink", "muted", "accent"])
def test_text_can_be_read(tones: dict[str, str], name: str) -> None:
    """Contrast by WCAG 2.2, 1.4.3: at least 4.5 to 1 for text."""
    for ground in ("paper", "card"):
        a, b = (float(_linear(tones[c]) @ XYZ[1]) for c in (name, ground))
        assert (max(a, b) + 0.05) / (min(a, b) + 0.05) >= 4.5


def test_each_verdict_has_a_colour_a_shape_and_a_word_of_its_own() -> None:
    assert list(theme.MARKS) == list(VERDICTS)
    for part in ("colour", "symbol", "path", "word"):
        assert len({getattr(mark, part) for mark in theme.MARKS.values()}) == len(VERDICTS)


def test_what_stands_apart_has_a_shape_and_a_word_that_no_verdict_has() -> None:
    for part in ("symbol", "path", "word"):
        assert getattr(theme.APART, part) not in {getattr(m, part) for m in theme.MARKS.values()}


def test_each_class_has_a_short_word() -> None:
    assert list(CLASS_WORDS) == list(DEVICE_CLASSES)


def test_a_rise_is_a_difference() -> None:
    """50 K of rise are 90 °F, never 122."""
    assert rise_scale("degF").text(50.0) == "90\u00a0°F"
    assert rise_scale("degC").text(50.0) == "50\u00a0K"
    assert rise_scale("degF").text(None) == rise_scale("degF").text(float("nan")) == "–"


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0, "0.0 %"), (0.0216, "2.2 %"), (0.0994, "9.9 %"), (0.274, "27 %"), (None, "–")],
)
def test_shares(value: float | None, text: str) -> None:
    assert theme.share(value) == text.replace(" ", theme.GAP)


def test_signs_and_intervals() -> None:
    assert theme.share(-0.007, is_signed=True) == "−0.7\u00a0%"
    assert theme.interval(0.016, 0.03) == "1.6 to 3.0\u00a0%"
    assert theme.interval(None, 0.03) == "–"
    assert theme.number(-1234.4) == "−1,234"


def test_nothing_is_certain() -> None:
    assert theme.chance(0.99999) == "over 99\u00a0%"
    assert theme.chance(1.0) == "over 99\u00a0%"
    assert theme.chance(0.0) == "under 1\u00a0%"
    assert theme.chance(0.534) == "53\u00a0%"


def test_text_from_a_file_is_harmless_in_a_figure() -> None:
    given = '<a href="javascript:x()">1\n2\x00</a> & co'
    assert theme.safe_text(given) == '&lt;a href="javascript:x()"&gt;1 2 &lt;/a&gt; &amp; co'
    assert theme.safe_text("abcdef", 4) == "abc…"
