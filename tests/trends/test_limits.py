"""Limits of the charts and funnels that pages draw, and the few words of a signal."""

from __future__ import annotations

import numpy as np
import pytest

from analytics.statistics.funnel import count_limits, tail_chance
from analytics.trends.beside import standings
from analytics.trends.protocol import habit_shares
from analytics.trends.records import Protocol, Trial
from analytics.trends.sentences import brief
from analytics.trends.shares import MEASURES, quarter_shares


@pytest.mark.parametrize("variance", [0.0, 0.05])
def test_limits_are_where_the_tail_has_its_chance(variance: float) -> None:
    """Beyond either limit `tail_chance` gives less than a thousandth, within it more."""
    expected = np.array([0.8, 3.0, 12.0, 80.0])
    low, high = count_limits(expected, variance, 0.001)
    assert tail_chance(high + 0.01, expected, variance)[1].max() < 0.001
    assert tail_chance(high - 0.01, expected, variance)[1].min() > 0.001
    has_low = low > 0
    assert has_low.tolist() == [False, False, True, True] if variance else has_low[-2:].all()
    below = tail_chance(low[has_low] - 0.01, expected[has_low], variance)[0]
    assert below.max() < 0.001
    assert tail_chance(low[has_low] + 0.01, expected[has_low], variance)[0].min() > 0.001


def test_habits_have_the_intervals_of_their_quarter() -> None:
    """81 of 263 has 25.53 to 36.62 %: Newcombe, Stat. Med. 17 (1998) 857, table I (from memory)."""
    row = Protocol("N1", "2026Q3", 263, 900, 81, 20.0, 0, 0, 0, 0, 0)
    (air, minutes) = habit_shares([row, row.__class__("N1", "2026Q2", *[5] * 9)], "2026Q3")
    assert (air.measure, air.count, air.total) == ("ambient", 81, 263)
    assert (air.low, air.high) == pytest.approx((0.2553, 0.3662), abs=5.1e-5)
    assert (minutes.measure, minutes.count, minutes.total) == ("minutes", 0, 263)


def _trial(measure: str, against: str, detail: str = "") -> Trial:
    return Trial(
        "camera", "C1", "2026Q3", measure, against, -0.5, -0.7, -0.25, "K", 30, "inspections",
        1e-4, "2026Q3", detail=detail,
    )  # fmt: skip


def test_a_signal_in_few_words() -> None:
    """−0.5 K is 0.9 °F: a difference, times 1.8."""
    past = _trial("deviation", "its own past")
    assert brief(past, "degF") == "camera C1 reads 0.9 °F cooler than it used to (0.5 to 1.3)"
    assert brief(past, "degC") == "camera C1 reads 0.5 K cooler than it used to (0.2 to 0.7)"
    assert brief(_trial("heat", "the others"), "degF").endswith("for its current (25 to 70 %)")
    habit = _trial("clamped", "the others", "3 of 20, others 90 of 100")
    assert brief(habit, "degF") == "camera C1 clamped 3 of 20 warm devices"


def test_the_first_quarter_has_no_limits() -> None:
    """Limits come from earlier quarters; of the first there are none to rest on."""
    cells = {
        m: {"all": {8100: np.array([90.0, 3.0]), 8101: np.array([80.0, 40.0])}} for m in MEASURES
    }
    first, second = quarter_shares(cells, dict.fromkeys(MEASURES, 1.0))
    assert np.isnan([first.flagged.limit_low, first.overload.limit_high]).all()
    assert not first.flagged.is_out
    assert second.flagged.is_out
    assert second.flagged.limit_high < 0.5


@pytest.mark.parametrize("count", [1, 2, 4])
def test_a_year_beside_begins_with_its_first_quarter(count: int) -> None:
    rows = [
        (8100 + n, "office", "flagged", name, 100, 9, 3.0, 0.5)
        for n in range(count)
        for name in ("a", "b", "c")
    ]
    trials = [one for _, one in standings(rows, {"flagged": 1.0}) if one is not None]
    assert {one.since for one in trials} == {"2025Q1"}
