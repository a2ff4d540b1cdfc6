"""The signals of a quarter on its page: each in words where it belongs, drawn as what it is."""

from __future__ import annotations

import html
import re

import pytest

from analytics import units
from dashboards.pages.quarter import SHOWN, page
from dashboards.quarter import collect
from dashboards.quarter_records import QuarterRecord
from dashboards.render import render
from tests.gold.tables import LAST, small_fleet
from tests.gold.trends import trends


@pytest.fixture(scope="module")
def record() -> QuarterRecord:
    with small_fleet() as store:
        return collect(store, LAST, trends())


@pytest.fixture(scope="module")
def text(record: QuarterRecord) -> str:
    return render(page(record, "degF"))


def _words(text: str) -> str:
    """Return what the reader reads: no scripts, style or tags."""
    bare = re.sub(r"<(script|style)\b.*?</\1>", " ", text, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", bare)).replace("\u00a0", " ").split())


def test_each_signal_is_told_once_in_its_place(text: str) -> None:
    """Changes under “What changed”, others under the subject that stands apart."""
    changed, rest = _words(text).split("Where it stands apart", 2)[1:]
    apart = rest.split("Cases to act on")[0]
    told = {one.sentence: one for one in trends().signals if one.quarter == LAST}
    for sentence, one in told.items():
        here, there = (changed, apart) if one.against == "its own past" else (apart, changed)
        tag = "new" if one.is_new else "goes on"
        assert here.count(f"{tag} {sentence}") == 1
        assert sentence not in there
    assert "2026Q2)." not in changed
    assert "Nobody and nothing" not in _words(text)
    headline = _words(text).split("show more than chance brings")[1].split("panels")[0]
    assert "9 of 10 (and 1 more of N1); make Tamridge" in headline
    assert "; and 2 more." in headline
    assert "camera C2" not in headline


def test_named_ones_are_full_diamonds_in_their_figures(record: QuarterRecord) -> None:
    made = page(record, "degF")
    figures = [f for d in made.drifts for f in (d.all, *d.courses) if f]
    figures += [f for s in made.standings for f in s.figures] + [h.figure for h in made.habits]
    named = {
        figure.id: [row[0] for row in figure.table.rows if row[-1] == "yes"]
        for figure in figures
        if figure.table.headers[-1] == "named"
    }
    assert {name: rows for name, rows in named.items() if rows} == {
        "drift-camera": ["C2"],
        "course-camera-0": ["2026Q2", "2026Q3"],
        "level-make": ["Tamridge"],
        "funnel-office-overload": ["b"],
        "habit-ambient": ["N1"],
        "habit-clamped": ["N1"],
    }
    for figure in figures:
        assert ("diamond" in figure.spec) == bool(named.get(figure.id)), figure.id


def test_a_quiet_quarter_says_so_and_names_nobody() -> None:
    with small_fleet() as store:
        made = page(collect(store, LAST, trends(is_quiet=True)), "degF")
    words = _words(render(made))
    assert "and the firm none stands apart more than chance brings ." in words
    assert "Nothing and nobody changed against its own past more than chance brings." in words
    assert "goes on" not in words
    figures = [f for d in made.drifts for f in (d.all, *d.courses) if f]
    figures += [f for s in made.standings for f in s.figures] + [h.figure for h in made.habits]
    assert len(figures) == 17
    assert not any("diamond" in figure.spec for figure in figures)


def test_differences_follow_the_unit(record: QuarterRecord) -> None:
    """Camera C2 changed by 3.0 K = 5.4 °F, 95 % ends 3 ± 1.96 × 0.3 K = 2.41 to 3.59 K."""
    rows = {}
    for unit in ("degF", "degC"):
        (camera, *_) = page(record, unit).drifts
        assert camera.all
        rows[unit] = next(row for row in camera.all.table.rows if row[0] == "C2")
    assert rows["degF"][1:4] == ("13", "+5.4", "4.3 to 6.5")
    assert rows["degC"][1:4] == ("13", "+3.0", "2.4 to 3.6")


@pytest.mark.parametrize("unit", ["degF", "degC"])
def test_the_scale_is_that_of_the_units(unit: str) -> None:
    assert SHOWN[unit].factor == pytest.approx(units.difference_from_k(1.0, unit), abs=1e-12)
