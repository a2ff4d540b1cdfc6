"""The figures of the quarterly page: every dot that matters is named, nothing is cut unsaid."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product

import pytest

from dashboards import theme
from dashboards.figures import band, frontier, funnel, offsets, panel, placing
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
    key = [one for one in drawn.layout.annotations if not one.showarrow]
    lines = [one.text.split("</b>  ") for one in key]
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


def test_dots_on_one_another_have_letters_of_their_own_beside_them() -> None:
    points = [_point("a1", 20.0, 1.0), _point("a2", 20.5, 1.05), _point("a3", 35.0, 1.0)]
    points[1] = replace(points[1], is_named=True)
    assert _letters(points) == {"a1": "a", "a2": "b", "a3": "c"}
    drawn = funnel.figure(points, "flagged: number expected")
    beside = [one for one in drawn.layout.annotations if one.showarrow]
    assert [(one.x, one.text, one.bgcolor) for one in beside] == [
        (20.0, "<b>a</b>", theme.TEAL),
        (20.5, "<b>b</b>", theme.APART.colour),
    ]
    assert [list(one.text) for one in drawn.data if one.text and any(one.text)] == [["<b>c</b>"]]


def test_equal_dots_have_letters_apart() -> None:
    """Two badges of 13 x 14 px that touch no dot (4.5 px) stand 11 px and more from them."""
    points = [_point(name, 20.0, 1.0) for name in ("a1", "a2", "a3")]
    drawn = funnel.figure(points, "flagged: number expected")
    places = [(one.ax, one.ay) for one in drawn.layout.annotations if one.showarrow]
    assert len(places) == 3
    for one, other in combinations(places, 2):
        assert abs(one[0] - other[0]) >= 13 or abs(one[1] - other[1]) >= 14
    assert min(abs(x) + abs(y) for x, y in places) >= 11


def test_whoever_a_signal_names_has_a_letter() -> None:
    """Not the outermost nor beyond the grey, and its signal is not of what is drawn."""
    points = _many()
    points[4] = replace(points[4], is_told=True)
    assert _letters(points) == {"c0": "a", "c4": "b", "c7": "c"}


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


def test_the_main_is_called_so_however_long_its_number() -> None:
    main = panel.SlotBox(0, 2, "200 A main", "133", "suspect_connection", "words", True, "112")
    texts = [text for trace in panel.figure([main]).data for text in (trace.text or ())]
    assert {"<b>200 A main</b>", "<b>133 · term. 112</b>"} <= set(texts)


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


@pytest.mark.parametrize(
    ("load", "rise", "termination"),
    list(product((5.0, 30.0, 50.0, 80.0, 118.0), (40.0, 60.0), (38.0, 41.0, 55.0, 90.0))),
)
def test_the_words_of_a_case_are_clear_of_marks_and_curve(
    load: float, rise: float, termination: float
) -> None:
    """On paper, a phone and a desk: 14 px high, the marks 7 px to each side, the curve a line."""
    loads = [float(x) for x in range(0, 126, 5)]
    expected = [25.0 + 0.003 * x * x for x in loads]
    shape = band.BandShape(
        loads, expected, [0.9 * y for y in expected], [1.15 * y for y in expected]
    )
    reading = band.ReadingPoint(
        load, rise, 30.0, "words", "suspect_connection", termination=termination
    )
    drawn = band.figure(shape, reading, "°F")
    words = [one for one in drawn.layout.annotations if one.showarrow]
    assert [one.text for one in words] == ["termination", "face"]
    axes = drawn.layout.xaxis.range, drawn.layout.yaxis.range
    for size in band.SIZES:
        space = placing.Space(*axes, [size])
        middles = [
            (x + one.ax, y - one.ay)
            for one in words
            for x, y in [space.pixel((one.x, one.y), size)]
        ]
        reach = [band.WORD_PX[one.text] / 2 for one in words]
        taken = [space.pixel((load, y), size) for y in (rise, termination)]
        for (x, y), half in zip(middles, reach, strict=True):
            assert all(abs(x - a) > half + 6 or abs(y - b) > 13 for a, b in taken)
            curve = [space.pixel(at, size) for at in zip(loads, expected, strict=True)]
            assert all(abs(x - a) > half or abs(y - b) > 7 for a, b in curve)
        (a, b), (c, d) = middles
        assert abs(a - c) >= sum(reach) or abs(b - d) >= 14


def test_each_kind_of_policy_has_a_mark_of_its_own_and_a_name_clear_of_it() -> None:
    kinds = ("in force", "surer", "proposed", "least cost", "")
    points = [
        frontier.FrontierPoint(
            10.0 + 3 * n, 33.0 - n, (8.0 + 3 * n, 13.0 + 3 * n), (17.0, 50.0), "words", kind, kind
        )
        for n, kind in enumerate(kinds)
    ]
    far = frontier.FrontierPoint(240.0, 21.0, (220.0, 260.0), (9.0, 37.0), "words")
    drawn = frontier.figure([*points, far])
    (marks,) = [trace.marker for trace in drawn.data if trace.mode == "markers"]
    assert len(set(marks.symbol)) == len(kinds)
    assert set(marks.symbol[:4]) == set(frontier.SYMBOLS.values())
    names = drawn.layout.annotations
    assert [one.text for one in names] == list(kinds[:4])
    axes = drawn.layout.xaxis.range, drawn.layout.yaxis.range
    for size in frontier.SIZES:
        space = placing.Space(*axes, [size])
        for one in names:
            x, y = space.pixel((one.x, one.y), size)
            half = frontier.LETTER_PX * len(one.text) / 2
            assert half <= x + one.ax <= size[0] - half
            for other in [*points, far]:
                a, b = space.pixel((other.wasted, other.missed), size)
                is_clear = abs(x + one.ax - a) > half + other.size / 2
                assert is_clear or abs(y - one.ay - b) > 8 + other.size / 2
