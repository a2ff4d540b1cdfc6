"""From trials to signals: who is named, since when, with whom it goes together, in which words."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from analytics.trends import drift, subjects
from analytics.trends.records import OTHERS, PAST, Source, Trial, Use, quarter_name
from analytics.trends.report import age
from analytics.trends.sentences import brief, sentence
from analytics.trends.signals import signals
from analytics.trends.sources import counts, sources, telling
from analytics.trends.users import main_user, uses


def _trial(**given: object) -> Trial:
    usual: dict[str, object] = {
        "subject": "camera", "level_name": "cam-7", "quarter": "2026Q3", "measure": "deviation",
        "against": PAST, "size": 3.0, "low": 2.0, "high": 4.0, "unit": "K", "count": 25,
        "counted": "inspections", "chance": 1e-5, "since": "2026Q2",
    }  # fmt: skip
    return Trial(**(usual | given))  # type: ignore[arg-type]


def _use(count: int, of_camera: int, of_ann: int, against: str = PAST) -> Use:
    return Use("cam-7", "ann", "2026Q3", against, count, of_camera, of_ann)


def test_a_sentence_carries_interval_count_and_sureness() -> None:
    assert sentence(_trial(), 1e-5, "degF") == (
        "Camera cam-7 reads 5.4 °F warmer (95 % interval 3.6 to 7.2) in 2026Q3 than it used to, "
        "off since 2026Q2 (25 inspections; almost certain: fewer than 1 in 1,000 such signals is "
        "false)."
    )
    cool = _trial(size=-3.0, low=-4.0, high=-2.0, since="2026Q3")
    assert "3.0 K cooler (95 % interval 2.0 to 4.0) in 2026Q3 than it used to (" in sentence(
        cool, 0.02, "degC"
    )


def test_an_interval_over_nothing_keeps_its_sign() -> None:
    """−0.4 K with ends −1.0 and 0.2 K: 0.4 cooler, from 0.2 warmer to 1.0 cooler."""
    slow = _trial(size=-0.4, low=-1.0, high=0.2)
    assert "0.4 K cooler (95 % interval −0.2 to 1.0)" in sentence(slow, 0.02, "degC")
    assert brief(slow, "degC").endswith("0.4 K cooler than it used to (−0.2 to 1.0)")


def test_a_year_is_said_only_of_a_year() -> None:
    heat = _trial(subject="make", measure="heat", against=OTHERS, size=0.2, low=0.1, high=0.3)
    for since, words in (
        ("2025Q4", "than the other makes over the year to 2026Q3;"),
        ("2026Q2", "than the other makes over 2026Q2 to 2026Q3 together;"),
        ("2026Q3", "than the other makes in 2026Q3;"),
    ):
        assert words in sentence(_trial(**vars(heat) | {"since": since}), 0.01, "degF")


def _year(numbers: list[int], counts: list[int]) -> subjects.Series:
    """Return a make 0.5 hotter than two like it, in quarters of a calendar that may have gaps."""
    mean = np.array([[0.5], [0.0], [0.0]]) + np.zeros((3, len(numbers)))
    count = np.tile(np.array(counts), (3, 1))
    mean[count < drift.LEAST_COUNT] = np.nan
    means = drift.Means(mean, np.full(mean.shape, 0.0004), count)
    kind = subjects.MAKE
    chart = drift.follow(means, kind.wander, kind.trifle, numbers)
    return subjects.Series(kind, ("a", "b", "c"), tuple(numbers), means, chart)


@pytest.mark.parametrize(
    ("numbers", "counts", "held", "since"),
    [
        ([8102, 8103, 8104, 8105, 8106], [40, 69, 98, 88, 74], 69 + 98 + 88 + 74, "2025Q4"),
        ([8100, 8105, 8106], [40, 88, 74], 88 + 74, "2026Q2"),
        ([8103, 8104, 8106], [3, 98, 74], 98 + 74, "2026Q1"),
        ([8106], [74], 74, "2026Q3"),
    ],
)
def test_a_standing_difference_counts_its_year(
    numbers: list[int], counts: list[int], held: int, since: str
) -> None:
    """Only inspections behind the means: not those before the year, nor of quarters too thin."""
    found = [
        one
        for one in subjects.trials(_year(numbers, counts))
        if (one.level_name, one.quarter, one.against) == ("a", "2026Q3", OTHERS)
    ]
    assert [(one.count, one.since) for one in found] == [(held, since)]
    point = next(one for one in list(subjects.points(_year(numbers, counts)))[-3:])
    assert (point.level_count, point.level_since) == (held, since)


@pytest.mark.parametrize("against", [PAST, OTHERS])
@pytest.mark.parametrize("use", [(27, 31, 90), (27, 90, 31)])
def test_a_camera_and_its_user_are_one_finding(against: str, use: tuple[int, int, int]) -> None:
    camera = _trial(against=against)
    own = _trial(subject="inspector", level_name="ann", against=against)
    (found,) = signals([camera, own], [_use(*use, against=against)])
    assert found.subject == "camera"
    assert "ann used it in 27 of" in found.sentence
    assert "it may be the camera, or ann’s thermometer for the air; check both" in found.sentence


def test_a_camera_of_many_and_a_person_of_many_are_two_findings() -> None:
    camera, own = _trial(), _trial(subject="inspector", level_name="ann")
    found = {one.subject: one.sentence for one in signals([camera, own], [_use(9, 31, 40)])}
    assert "several people used it, ann most, in 9 of 31" in found["camera"]
    assert "with several cameras, so the thermometer for the air" in found["inspector"]


def test_opposite_offsets_are_not_the_same() -> None:
    camera = _trial()
    own = _trial(subject="inspector", level_name="ann", size=-3.0, low=-4.0, high=-2.0)
    assert len(signals([camera, own], [_use(27, 31, 27)])) == 2


def test_whoever_is_named_alone_is_told_with_what_he_used() -> None:
    own = _trial(subject="inspector", level_name="ann", against=OTHERS)
    (found,) = signals([own], [_use(27, 31, 30, OTHERS)])
    assert "27 of these 30 inspections were with camera cam-7, so camera and thermo" in (
        found.sentence
    )
    (camera,) = signals([_trial()], [_use(27, 31, 30)])
    assert "ann used it in 27 of 31 inspections, so the thermometer for the air is" in (
        camera.sentence
    )


def test_uses_are_counted_in_the_quarter_and_the_year() -> None:
    """Ann has cam-7 in every quarter once, cam-8 in the last twice; bob has cam-7 in the last."""
    rows = [("cam-7", "ann", number) for number in range(8100, 8107)]
    rows += [("cam-8", "ann", 8106)] * 2 + [("cam-7", "bob", 8106)]
    frame = pd.DataFrame(rows, columns=["camera", "inspector", "quarter_index"])
    last = [one for one in uses(frame) if one.quarter == "2026Q3"]
    assert Use("cam-7", "ann", "2026Q3", PAST, 1, 2, 3) in last
    assert Use("cam-7", "ann", "2026Q3", OTHERS, 4, 5, 6) in last
    year = main_user("cam-7", [one for one in last if one.against == OTHERS])
    assert year
    assert (year.inspector, year.camera_share) == ("ann", 0.8)
    assert main_user("cam-9", last) is None


def test_a_signal_is_new_once_and_then_dated() -> None:
    found = signals([_trial(), _trial(quarter="2026Q4")], [])
    assert [(s.quarter, s.is_new) for s in found] == [("2026Q3", True), ("2026Q4", False)]
    assert [age(one) for one in found] == ["new", "since 2026Q3, two quarters"]


@pytest.mark.parametrize(
    ("quiet", "words"),
    [
        ((), "since 2024Q3, nine quarters"),
        ((8104,), "since 2026Q2, two quarters"),
        ((8106,), ""),
    ],
)
def test_a_run_ends_where_it_was_tested_in_vain(quiet: tuple[int, ...], words: str) -> None:
    """8104 is 2026Q1. A quarter that was tested and quiet ends a run."""
    rows = [
        _trial(quarter=quarter_name(n), chance=0.9 if n in quiet else 1e-5)
        for n in range(8098, 8107)
    ]
    assert [age(one) for one in signals(rows, []) if one.quarter == "2026Q3"] == [words] * bool(
        words
    )


def test_what_turns_round_is_new() -> None:
    down = _trial(quarter="2026Q4", size=-3.0, low=-4.0, high=-2.0)
    assert [age(one) for one in signals([_trial(), down], [])] == ["new", "new"]
    ratio = _trial(subject="firm", measure="overload", unit="ratio", detail="9 5.0 0", size=1.8)
    fallen = _trial(**vars(ratio) | {"quarter": "2026Q4", "size": 0.5})
    assert [age(one) for one in signals([ratio, fallen], [])] == ["new", "new"]
    again = _trial(**vars(ratio) | {"quarter": "2026Q4", "size": 1.5})
    assert age(signals([ratio, again], [])[-1]) == "also on the page of 2026Q3"


def test_quarters_without_a_test_are_counted_against() -> None:
    """A winter without readings ends no run; more than a year does."""
    gap = [_trial(quarter=quarter_name(n)) for n in (8100, 8101, 8104, 8106)]
    assert age(signals(gap, [])[-1]) == "since 2025Q1, four of seven quarters"
    long = [_trial(quarter=quarter_name(n)) for n in (8100, 8101, 8106)]
    assert age(signals(long, [])[-1]) == "new"


def test_many_looks_raise_the_bar() -> None:
    """A chance of 1 in 100 alone is a signal; among 50 steady subjects it is none."""
    one = _trial(chance=0.01)
    rest = [_trial(level_name=f"c{n}", chance=0.5) for n in range(50)]
    assert len(signals([one], [])) == 1
    assert signals([one, *rest], []) == []


def test_what_has_no_like_case_is_told() -> None:
    """Two of 124 flagged readings are of a kind that was never met before."""
    trial = _trial(
        subject="firm", level_name="the whole firm", measure="flagged", size=1.31, low=1.04,
        high=1.64, count=5765, counted="judged readings", since="2026Q1", detail="122 92.9 2",
    )  # fmt: skip
    told = sentence(trial, 0.02, "degF")
    assert "122 flagged readings over 2026Q1 to 2026Q3 together (2 more, without like" in told
    alone = _trial(**vars(trial) | {"detail": "122 92.9 0"})
    assert "more, without" not in sentence(alone, 0.02, "degF")


def _counted(name: str, *four: int) -> list[tuple[object, ...]]:
    """Return judged and hits of a class in 2026Q3, then of 2026Q2, all of one load."""
    judged, hits, judged_then, hits_then = four
    rows = [("class", name, "flagged", f"{name}/4", 8106, judged, hits)]
    if judged_then:
        rows.append(("class", name, "flagged", f"{name}/4", 8105, judged_then, hits_then))
    return [tuple(row) for row in rows]


def _sources(*levels: tuple[object, ...]) -> list[Source]:
    rows = [row for name, *four in levels for row in _counted(str(name), *four)]  # type: ignore[arg-type]
    return list(sources(counts(rows), 8106, []))


def test_a_change_is_told_by_those_that_account_for_it() -> None:
    """standard: 16 of 736 after 35 of 665, whose share would have brought 38.7; dual 1 after 7."""
    rows = _sources(
        ("standard", 736, 16, 665, 35),
        ("dual_function", 100, 1, 100, 7),
        ("afci", 300, 12, 300, 11),
        ("new", 20, 3, 0, 0),
    )
    assert rows[0].expected == pytest.approx(38.737, abs=5e-4)
    assert rows[0].difference == pytest.approx(16 - 38.737, abs=5e-4)
    assert (rows[3].expected, rows[3].difference) == (0.0, 0.0)
    assert [one.level_name for one in telling(rows)] == ["standard"]
    assert [one.level_name for one in telling(rows[1:])] == ["dual_function"]


def test_many_small_parts_are_not_told() -> None:
    assert telling(_sources(*((f"c{n}", 10, n % 2, 10, 1 - n % 2) for n in range(8)))) == []
    assert telling(_sources(*((f"c{n}", 10, 2, 10, 1) for n in range(8)))) == []


def test_the_parts_of_a_signal_add_up_to_its_own_numbers() -> None:
    """Kinds of load count apart, over the signal's span and its twelve quarters of past.

    Half: 3 of 30 in 2026Q2 and Q3 after 4 of 80: 1.5; full: 5 of 10 after 8 of 40: 2.
    """
    rows = [
        ("class", "main", "flagged", "main/4", 8104, 80, 4),
        ("class", "main", "flagged", "main/6", 8104, 40, 8),
        ("class", "main", "flagged", "main/4", 8105, 20, 1),
        ("class", "main", "flagged", "main/4", 8106, 10, 2),
        ("class", "main", "flagged", "main/6", 8106, 10, 5),
        ("class", "main", "flagged", "main/6", 8090, 99, 99),
        ("class", "main", "overload", "main", 8106, 20, 1),
    ]
    firm = _trial(
        subject="firm", measure="flagged", since="2026Q2", size=2.29, low=1.1, high=4.0,
        detail="8 3.5 0",
    )  # fmt: skip
    found = list(sources(counts(rows), 8106, signals([firm], [])))
    (own,) = [one for one in found if one.against == PAST]
    assert (own.hit_count, own.judged_count) == (8, 40)
    assert (own.earlier_hit_count, own.earlier_judged_count) == (12, 120)
    assert (own.expected, own.difference) == pytest.approx((3.5, 4.5))
    assert {one.measure for one in found if one.against != PAST} == {"flagged", "overload"}
