"""The signals of a quarter on its page: each in words where it belongs, drawn as what it is."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from analytics import units
from analytics.trends import shares
from analytics.trends.records import Move, Trial
from analytics.trends.report import age
from analytics.trends.sentences import brief
from analytics.trends.sentences import sentence as sentence_of
from analytics.trends.signals import signals
from dashboards.pages.quarter import SHOWN, headline_lines, page
from dashboards.pages.quarter_index import index_page
from dashboards.quarter import collect
from dashboards.quarter_records import QuarterRecord
from dashboards.render import render
from tests.dashboards.reader import words_of
from tests.gold.tables import LAST, small_fleet
from tests.gold.trends import trends


def test_each_signal_is_told_once_in_its_place(text: str) -> None:
    """Changes under “What changed”, others under the subject that stands apart."""
    changed, rest = words_of(text).split("Where it stands apart", 2)[1:]
    apart = rest.split("Cases to act on")[0]
    told = {one.sentence: one for one in trends().signals if one.quarter == LAST}
    for sentence, one in told.items():
        here, there = (apart, changed) if one.against == "the others" else (changed, apart)
        tag = "new" if one.is_new else "since 2026Q2, two quarters"
        assert here.count(f"{tag} {sentence}") == 1
        assert sentence not in there
    assert "2026Q2)." not in changed
    assert "Nobody and nothing" not in words_of(text)
    headline = words_of(text).split("show more than chance brings")[1].split("panels")[0]
    assert "9 of 10 (and one more habit of N1), the difference is" in headline
    assert "; and 2 more." in headline
    assert "camera C2" not in headline


def test_named_ones_have_the_mark_of_what_stands_apart(record: QuarterRecord) -> None:
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
        assert figure.has_apart == bool(named.get(figure.id)), figure.id
        assert "diamond" not in figure.spec


def test_a_quiet_quarter_says_so_and_names_nobody() -> None:
    with small_fleet() as store:
        made = page(collect(store, LAST, trends(is_quiet=True)), "degF")
    words = words_of(render(made))
    assert "and the firm none stands apart more than chance brings ." in words
    assert "Nothing and nobody changed against its own past more than chance brings." in words
    assert not re.search(r" (new|since 20\d\dQ\d, \w+ quarters) [A-Z]", words)
    figures = [f for d in made.drifts for f in (d.all, *d.courses) if f]
    figures += [f for s in made.standings for f in s.figures] + [h.figure for h in made.habits]
    assert len(figures) == 17
    assert not any(figure.has_apart for figure in figures)


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


RISE, FALL, NONE = (0.0134, 0.006, 0.03), (-0.0134, 0.006, 0.03), (0.002, 0.4, 0.6)
UNSURE = (-0.0117, 0.02, 0.119)
STANDS = "1.31 times what earlier quarters had (1.04 to 1.64)"


@pytest.mark.parametrize(
    ("move", "is_high", "words"),
    [
        (
            RISE,
            False,
            "Flagged devices rose: 1.5 % after 2.8 % in 2026Q2, like for like +1.34 points",
        ),
        (
            FALL,
            False,
            "Flagged devices fell: 1.5 % after 2.8 % in 2026Q2, like for like −1.34 points",
        ),
        (
            FALL,
            True,
            "Flagged devices fell: 1.5 % after 2.8 % in 2026Q2, like for like −1.34 points",
        ),
        (NONE, False, "Flagged devices neither rose nor fell for certain: 1.5 % after 2.8 %"),
        (UNSURE, False, "Flagged devices neither rose nor fell for certain: 1.5 % after 2.8 %"),
        (
            UNSURE,
            True,
            "Flagged devices neither rose nor fell for certain: 1.5 % after 2.8 %",
        ),
    ],
)
def test_every_direction_is_told_aright(
    record: QuarterRecord, move: tuple[float, float, float], is_high: bool, words: str
) -> None:
    """What all comparisons leave decides; a standing of several quarters is told apart from it."""
    told = headline_lines(_moved(record, move, is_high))[1].replace("\u00a0", " ")
    assert told.startswith(words)
    assert (STANDS in told) == is_high
    assert (f", yet over the three quarters 2026Q1 to 2026Q3 together {STANDS}" in told) == (
        is_high and move[0] < 0
    )
    flagged = told.split("; devices over")[0]
    assert ("no more than chance brings" in flagged) == (move is NONE)
    assert ("not certain with all shares compared" in flagged) == (move is UNSURE)


@pytest.mark.parametrize("move", [RISE, FALL, NONE, UNSURE])
@pytest.mark.parametrize("is_high", [True, False])
def test_no_page_tells_a_change_and_that_nothing_changed(
    record: QuarterRecord, move: tuple[float, float, float], is_high: bool
) -> None:
    """Headline, list and marks go by one rule, whatever moved."""
    made = page(_moved(record, move, is_high), "degF")
    words = words_of(render(made))
    is_told = bool(re.search(r"Flagged devices (rose|fell)|times what earlier", words))
    assert is_told == (move in (RISE, FALL) or is_high)
    assert ("Nothing and nobody changed" in words) == (not is_told)
    assert made.moves
    assert made.moves.has_apart == (move in (RISE, FALL))


def _moved(record: QuarterRecord, move: tuple[float, float, float], is_high: bool) -> QuarterRecord:
    """Return a record with that move of flagged devices (size, p, q), none of overloads."""
    quiet = trends(is_quiet=True)
    size, p_value, q_value = move
    ends = (size - 0.0100, size + 0.0100)
    flagged = Move("flagged", "the last quarter", size, *ends, p_value, 2000, q_value)
    over = Move("overload", "the last quarter", 0.001, -0.01, 0.012, 0.8, 2000, 0.8)
    high = replace(
        trends().signals[2], size=1.31, low=1.04, high=1.64, since="2026Q1", is_new=False
    )
    named = [one for one in shares.move_trials(8106, (flagged, over)) if q_value <= 0.05][:1]
    made = [*signals(named, {}), *([high] if is_high else [])]
    counts = tuple(
        replace(row, judged_count=1000, flagged_count=hits)
        for row, hits in zip(record.counts[-2:], (28, 15), strict=True)
    )
    held = replace(quiet, moves=(flagged, over), signals=tuple(made))
    return replace(record, counts=counts, trends=held)


def test_a_ratio_names_its_quarters() -> None:
    """What three quarters hold together is not to be read as the last one's."""
    trial = Trial(
        "firm", "the whole firm", LAST, "flagged", "its own past", 1.3, 1.02, 1.63, "ratio", 5773,
        "judged readings", 0.01, "2026Q1", "firm", "116 89.3 0",
    )  # fmt: skip
    alone, year = replace(trial, since=LAST), replace(trial, against="the others", since="2025Q4")
    assert brief(trial, "degF") == (
        "the firm has 1.30 times as many flagged as its past would bring over 2026Q1 to 2026Q3 "
        "together (1.02 to 1.63)"
    )
    assert "as its past would bring in 2026Q3 (1.02" in brief(alone, "degF")
    assert "as the others on like cases over the year to 2026Q3 (1.02" in brief(year, "degF")


def test_a_signal_says_since_when_it_holds() -> None:
    one = replace(trends().signals[1], held_since="2024Q4", held_count=8)
    assert age(one) == "since 2024Q4, eight quarters"
    assert age(replace(one, held_count=7)) == "since 2024Q4, seven of eight quarters"
    assert age(replace(one, is_new=True)) == "new"


def test_what_counts_several_quarters_names_the_pages_that_told_it() -> None:
    """“Since 2026Q2” beside “over 2026Q1 to 2026Q3 together” would be two spans for one thing."""
    one = replace(trends().signals[2], is_new=False, since="2026Q1")
    assert one.quarter == "2026Q3"
    assert age(replace(one, held_since="2026Q2", held_count=2)) == "also on the page of 2026Q2"
    four = replace(one, held_since="2025Q4", held_count=4)
    assert age(four) == "on all four pages from 2025Q4 on"
    assert age(replace(four, held_count=3)) == "on three of the four pages from 2025Q4 on"
    course = replace(one, measure="deviation", held_since="2026Q2", held_count=2)
    assert age(course) == "since 2026Q2, two quarters"


def test_of_a_habit_only_the_difference_is_sure(record: QuarterRecord) -> None:
    """N1’s signals are very likely; the page over all quarters says it shorter."""
    told = headline_lines(record)[2]
    assert (
        "(and one more habit of N1), the difference is very likely, its cause not known from here: "
        "hear the inspector first; make Tamridge runs 30 % hotter; "
    ) in told
    index = words_of(render(index_page(record, {}), "index"))
    assert "(and one more habit of N1), hear the inspector first; make" in index
    trial = Trial(
        "inspector", "N1", LAST, "clamped", "the others", -0.5, -0.6, -0.4, "share", 40,
        "warm devices", 1e-9, LAST, "subjects", "9 of 40, others 80 of 90",
    )  # fmt: skip
    assert sentence_of(trial, 1e-9, "degF").endswith(
        "(40 warm devices; the difference is almost certain: fewer than 1 in 1,000 such signals is "
        "false; its cause is not known from here: hear the inspector first)."
    )


def test_the_headline_says_since_when_what_stands_apart_does(record: QuarterRecord) -> None:
    assert record.trends
    signals = tuple(
        replace(one, is_new=False, held_since="2024Q4", held_count=8)
        for one in record.trends.signals
    )
    held = replace(record, trends=replace(record.trends, signals=signals))
    assert (
        "(and one more habit of N1), since 2024Q4, eight quarters, the difference is"
        in headline_lines(held)[2]
    )
