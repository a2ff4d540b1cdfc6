"""The parts of the trends by themselves: charts of subjects, tests of shares, habits, sentences."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from analytics.trends import drift, protocol, shares, subjects
from analytics.trends.pairs import pairs
from analytics.trends.records import Protocol, quarter_index, quarter_name
from analytics.trends.signals import FALSE_SHARE, signals


def _means(rng: np.random.Generator, levels: int, quarters: int, error: float) -> drift.Means:
    shape = (levels, quarters)
    own = rng.normal(0.0, 1.0, (levels, 1)) + rng.normal(0.0, 2.0, (1, quarters))
    mean = own + rng.normal(0.0, 0.3, shape) + rng.normal(0.0, error, shape)
    return drift.Means(mean, np.full(shape, error**2), np.full(shape, 20))


def test_steady_subjects_stay_in_their_charts() -> None:
    """Own levels, and seasons that all share, are no change: z has unit spread, chances hold.

    400 fleets of 12 subjects over 10 quarters, 0.3 K of wander and 0.4 K of error.
    """
    rng = np.random.default_rng(2)
    found = [drift.follow(_means(rng, 12, 10, 0.4), 0.4) for _ in range(400)]
    z = np.concatenate([one.z[:, 2:].ravel() for one in found])
    chance = np.concatenate([one.chance[:, 2:].ravel() for one in found])
    assert np.std(z) == pytest.approx(1.0, abs=0.06)
    assert np.mean(chance < 0.01) < 0.012
    assert np.mean(chance < 0.001) < 0.0015


def test_a_shift_is_found_at_once_and_measured() -> None:
    """3 K on one of 12 subjects from the seventh quarter: mean size within 0.1 K, nobody else."""
    rng = np.random.default_rng(3)
    sizes, found, others = [], 0, 0
    for _ in range(100):
        means = _means(rng, 12, 8, 0.4)
        means.mean[4, 6:] += 3.0
        chart = drift.follow(means, 0.4, 0.2)
        sizes.append(chart.change[4, 6])
        found += chart.chance[4, 6] < 0.005
        others += int(np.sum(np.delete(chart.chance[:, 6], 4) < 0.005))
        if chart.chance[4, 6:].max() < drift.OFF_CHANCE:
            assert chart.started[4, 7] == 6
    assert np.mean(sizes) == pytest.approx(3.0, abs=0.1)
    assert found >= 94
    assert others <= 12


def test_two_subjects_do_not_blame_each_other_for_a_common_change() -> None:
    rng = np.random.default_rng(4)
    means = _means(rng, 2, 8, 0.1)
    means.mean[:, 7] += 5.0
    assert np.all(np.abs(drift.follow(means, 0.4).change[:, 7]) < 2.0)


def test_a_subject_alone_is_followed_by_its_own_past() -> None:
    mean = np.array([[0.0, 0.1, -0.1, 0.0, 4.0]])
    means = drift.Means(mean, np.full((1, 5), 0.04), np.full((1, 5), 20))
    chart = drift.follow(means, 0.4)
    assert np.isnan(chart.z[0, 0])
    assert chart.change[0, 4] == pytest.approx(4.0, abs=1e-9)
    assert chart.chance[0, 4] < 1e-4
    assert np.isnan(chart.level).all()


def test_a_date_misread_by_years_costs_nothing() -> None:
    """A quarter of one inspection decades back adds one place to the charts, not hundreds."""
    rows = pd.DataFrame(
        {name: np.zeros(61) for name in ("whole_k", "part_k", "part_response", *subjects.MIX)}
    )
    rows["part_response"] = 0.2
    rows["quarter_index"] = np.r_[7800, np.repeat([8100, 8101, 8102], 20)]
    rows[["camera", "inspector", "office"]] = "one"
    makes = pd.DataFrame({"make": ["m"], "quarter_index": [8100], "ratio": [1.0]})
    found = subjects.all_series(rows, makes, set())
    assert {one.quarters for one in found} == {(7800, 8100, 8101, 8102)}


def test_quarter_means_forgive_a_slip() -> None:
    rng = np.random.default_rng(5)
    values = np.r_[rng.normal(1.0, 1.0, 39), 60.0, rng.normal(0.0, 1.0, 40)]
    level = np.repeat([0, 1], 40)
    found = drift.quarter_means(values, level, np.zeros(80, int), (2, 1))
    assert found.mean[0, 0] == pytest.approx(values[:39].mean(), abs=0.15)
    assert found.variance[0, 0] == pytest.approx(1 / 40, rel=0.5)


def _since(hits: list[int], quarter: int = 8100) -> list[tuple[object, ...]]:
    rows = []
    for span in (1, 2, 3):
        late, past = hits[-span:], hits[:-span]
        expected = span * np.mean(past)
        spread = span**2 * np.sum(past) / len(past) ** 2
        one = (quarter, span, "firm", "flagged", "the whole firm", len(past))
        rows.append((*one, 1000 * span, int(np.sum(late)), expected, spread))
    return rows


def test_firms_share_false_signals_and_found_rises() -> None:
    """3,000 invented firms with 28 flagged readings a quarter.

    False signals in at most 4.5 % of quarters; a rise by 1.4 found within three in 80 % or more.
    """
    rng = np.random.default_rng(6)
    limit, clumping = FALSE_SHARE["firm"], {"flagged": 1.0, "overload": 1.0}
    false = found = 0
    for _ in range(3000):
        hits = list(rng.poisson(28, 12))
        (trial,) = shares.since_trials(_since(hits), clumping)
        false += trial.chance <= limit
        risen = hits[:9] + list(rng.poisson(1.4 * 28, 3))
        looks = [next(shares.since_trials(_since(risen[:n]), clumping)) for n in (10, 11, 12)]
        found += any(one.chance <= limit for one in looks)
    assert false / 3000 <= 0.045
    assert found / 3000 >= 0.80


def test_a_rise_is_dated_and_a_fall_of_the_firm_is_no_alarm() -> None:
    clumping = {"flagged": 1.0, "overload": 1.0}
    (trial,) = shares.since_trials(_since([30] * 8 + [60, 60]), clumping)
    assert trial.since == quarter_name(8099)
    assert trial.size == pytest.approx(2.0)
    assert trial.low < 2.0 < trial.high
    (fallen,) = shares.since_trials(_since([30] * 9 + [5]), clumping)
    assert fallen.chance == 1.0


def _row(inspector: str, same: int = 2, clamped: int = 90, minuted: int = 18) -> Protocol:
    return Protocol(inspector, "2026Q3", 20, 400, same, 21.0, minuted, 1, 0, 100, clamped)


def test_only_the_hasty_one_is_named() -> None:
    rows = [_row(f"i{n}", clamped=80 + 3 * n, minuted=14 + n) for n in range(6)]
    rows.append(_row("hasty", same=20, clamped=30, minuted=6))
    named = {(t.level_name, t.measure) for t in protocol.protocol_trials(rows) if t.chance < 0.01}
    assert named == {("hasty", "ambient"), ("hasty", "clamped"), ("hasty", "minutes")}


def test_a_better_habit_is_no_fault() -> None:
    rows = [_row(f"i{n}", clamped=40, minuted=8) for n in range(6)]
    rows.append(_row("careful", same=0, clamped=100, minuted=20))
    assert all(t.chance > 0.2 for t in protocol.protocol_trials(rows))


def test_pairs_name_what_grew_and_nothing_else() -> None:
    rng = np.random.default_rng(7)
    frame = pd.DataFrame(
        {
            "panel_id": [f"P{n}" for n in range(200)],
            "position": 1,
            "device_class": "standard",
            "quarter_index": 8106,
            "days": 300,
            "change_k": rng.normal(0.0, 1.0, 200),
        }
    )
    frame["change_z"] = frame["change_k"]
    frame.loc[17, ["change_k", "change_z"]] = 15.0
    (found,) = pairs(frame)
    assert [one.panel_id for one in found.worse] == ["P17"]
    assert found.low_k < 0.0 < found.high_k
    assert found.count == 200
    assert list(pairs(frame.iloc[:0])) == []


def test_quarters_are_numbered() -> None:
    names = [quarter_name(n) for n in range(8100, 8109)]
    assert [quarter_index(name) for name in names] == list(range(8100, 8109))
    assert names[:3] == ["2025Q1", "2025Q2", "2025Q3"]


def _cells(hits: list[int], judged: int = 1000) -> dict[str, shares.Cells]:
    """Return one kind of case over quarters from 8100 on; overloads stay at 60."""
    kinds = {"flagged": hits, "overload": [60] * len(hits)}
    return {
        measure: {"one": {8100 + i: np.array([judged, n], float) for i, n in enumerate(counts)}}
        for measure, counts in kinds.items()
    }


STEADY = {"flagged": 1.0, "overload": 1.0}


def test_a_change_allows_for_every_move_of_the_quarter() -> None:
    """25 after 12 in 1,000: z = 2.16, p = 0.031 alone, no change among six; 40 after 12 is one."""
    usual = [20, 20, 20, 20, 12]
    for hits, is_change in ((25, False), (40, True)):
        found = shares.moves(_cells([*usual, hits]), 8105, STEADY)
        last = found[0]
        assert (len(found), last.against, last.is_change) == (6, "the last quarter", is_change)
        assert last.low > 0.0
        assert last.q_value == pytest.approx(
            min(
                1.0,
                *(
                    6 * p / (i + 1)
                    for i, p in enumerate(sorted(m.p_value for m in found))
                    if p >= last.p_value
                ),
            ),
            rel=1e-9,
        )
        named = signals(shares.move_trials(8105, found), {})
        assert [one.against for one in named] == [m.against for m in found if m.is_change]
    assert last.p_value < 1e-4
    (words, *_) = [one.sentence for one in named]
    assert words.startswith(
        "The firm has 2.80 points more flagged in 2026Q2 than in the quarter before, like for like "
        "(95 % interval +"
    )


@pytest.mark.parametrize(("hits", "judged"), [([1, 1, 1, 0, 0, 6], 1000), ([20, 12, 40], 1000)])
def test_few_cases_and_young_firms_have_no_change(hits: list[int], judged: int) -> None:
    """Room of Mantel and Fleiss 3 cases; two quarters before: told with p, tested for nothing."""
    found = shares.moves(_cells(hits, judged), 8100 + len(hits) - 1, STEADY)
    flagged = [one for one in found if one.measure == "flagged"]
    assert flagged[0].p_value < 0.05
    assert np.isnan(flagged[0].q_value)
    assert not any(one.is_change for one in found)
    tested = list(shares.move_trials(8105, found))
    assert all(one.measure == "overload" for one in tested)


def test_steady_firms_have_few_false_changes() -> None:
    """2,000 firms of 28 flagged and 110 overloads a quarter: a false change in at most 6 %."""
    rng = np.random.default_rng(8)
    false = 0
    for _ in range(2000):
        cells = _cells(list(rng.poisson(28, 8)), 1900)
        for i in range(8):
            cells["overload"]["one"][8100 + i][1] = rng.poisson(110)
        false += any(one.is_change for one in shares.moves(cells, 8107, STEADY))
    assert 0.01 <= false / 2000 <= 0.06
