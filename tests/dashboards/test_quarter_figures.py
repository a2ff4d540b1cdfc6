"""The figures of the quarterly page: every dot that matters is named, nothing is cut unsaid."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dashboards.figures import band, funnel, offsets, panel
from dashboards.figures.rows import LINE_LETTERS, named_by_letter, row_name

LONG = "thermal-imager-of-the-northern-office-03"


def _point(name: str, expected: float, ratio: float, high: float = 1.9) -> funnel.FunnelPoint:
    limits = (0.1, 2.5)
    return funnel.FunnelPoint(name, expected, ratio, 0.5, high, limits, False, f"{name}: words")


def _many() -> list[funnel.FunnelPoint]:
    return [_point(f"c{n}", 4.0 + 2 * n, 0.7 + 0.1 * n) for n in range(8)]


def _letters(points: list[funnel.FunnelPoint]) -> dict[str, str]:
    """Return what the key above the figure says: name -> letter."""
    drawn = funnel.figure(points, "flagged: number expected")
    lines = [one.text.split("</b>  ") for one in drawn.layout.annotations]
    return {name: letter.removeprefix("<b>") for letter, name in lines}


def test_letters_name_the_outermost_the_named_and_the_cut() -> None:
    points = _many()
    points[3] = replace(points[3], is_named=True)
    points[5] = replace(points[5], high=9.0)
    assert _letters(points) == {"c0": "a", "c3": "b", "c5": "c", "c7": "d"}
    assert set(_letters(points[:5])) == {"c0", "c1", "c2", "c3", "c4"}


def test_every_letter_stands_in_its_own_dot_and_no_other_text_is_drawn() -> None:
    drawn = funnel.figure(_many(), "flagged: number expected")
    texts = [trace for trace in drawn.data if trace.text is not None and any(trace.text)]
    assert [list(trace.text) for trace in texts] == [["<b>a</b>", "<b>b</b>"]]
    assert texts[0].textposition == "middle center"
    assert texts[0] is drawn.data[-1]
    assert all(one.y == 1 and one.yshift > 0 for one in drawn.layout.annotations)


def test_dots_on_one_another_share_their_letter() -> None:
    points = [_point("a1", 20.0, 1.0), _point("a2", 20.5, 1.05), _point("a3", 35.0, 1.0)]
    assert _letters(points) == {"a1": "a", "a2": "a", "a3": "b"}


def test_an_interval_beyond_the_axis_ends_in_an_arrow() -> None:
    points = [*_many(), _point("few", 1.2, 1.4, 12.0)]
    assert funnel.cut(points) == [8]
    drawn = funnel.figure(points, "flagged: number expected")
    (arrow,) = [trace for trace in drawn.data if trace.marker.symbol == "triangle-up"]
    top = drawn.layout.yaxis.range[1]
    assert list(arrow.x) == [1.2]
    assert max(arrow.y) < top
    assert all(y is None or y < top for trace in drawn.data for y in trace.y)


def test_letters_go_on_after_z() -> None:
    letters = named_by_letter(60)
    assert (letters[0], letters[25], letters[26], letters[51], letters[52]) == (
        "a", "z", "aa", "az", "ba",
    )  # fmt: skip
    assert len(set(letters)) == 60


@pytest.mark.parametrize("name", [LONG, "x" * 40, "north-2", "\u05e6\u05e4\u05d5\u05df-3"])
def test_a_long_name_takes_two_lines_and_loses_nothing(name: str) -> None:
    lines = row_name(name).split("<br>")
    assert "".join(lines) == name
    assert len(lines) == (2 if len(name) > LINE_LETTERS else 1)
    assert max(len(line) for line in lines) <= LINE_LETTERS


def test_rows_of_long_names_are_higher() -> None:
    row = offsets.OffsetRow("short", 0.0, -1.0, 1.0, 2.0, False, "words")
    short = offsets.figure([row] * 4, "reads warmer than the others, °F")
    long = offsets.figure([row, replace(row, label=LONG)] * 2, "reads warmer than the others, °F")
    assert long.layout.height > short.layout.height
    assert len(long.layout.yaxis.ticktext) == 4


def test_a_reading_that_contradicts_itself_is_drawn_without_its_number() -> None:
    usual = panel.SlotBox(1, 1, "20 A ground-fault", "34", "normal", "words", False)
    odd = panel.SlotBox(3, 1, "20 A ground-fault", "−62", "recheck", "words", False)
    case = panel.SlotBox(5, 1, "15 A dual", "60", "suspect_connection", "words", True, "105")
    drawn = panel.figure([usual, odd, case])
    texts = [text for trace in drawn.data for text in (trace.text or ())]
    assert "−62" not in " ".join(texts)
    assert {"20 A ground-fault", "34", "20 A", "recheck", "<b>60 · term. 105</b>"} <= set(texts)


def _marks(reading: band.ReadingPoint) -> list[tuple[float, str]]:
    shape = band.BandShape([0.0, 100.0], [20.0, 40.0], [15.0, 30.0], [25.0, 50.0])
    drawn = band.figure(shape, reading, "°F")
    return [(trace.y[0], trace.marker.symbol) for trace in drawn.data if trace.mode == "markers"]


def test_a_case_judged_by_its_termination_shows_it() -> None:
    face = band.ReadingPoint(41.0, 60.0, 38.0, "words", "suspect_connection")
    assert _marks(face) == [(60.0, "diamond")]
    read = replace(face, termination=70.0)
    assert _marks(read) == [(60.0, "diamond"), (70.0, "diamond-open")]
    judged = replace(read, is_by_termination=True)
    assert _marks(judged) == [(60.0, "diamond-open"), (70.0, "diamond")]
