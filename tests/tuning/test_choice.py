"""Candidates, corrected shares and the choice between policies, on tables made by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from analytics.policy import default_policy
from analytics.tuning.cells import Cells, Grid
from analytics.tuning.choice import (
    Choice,
    Costs,
    Difference,
    Limit,
    choose,
    least_cost,
)
from analytics.tuning.estimate import POOLING, correct, fault_shares
from analytics.tuning.lines import Lines
from analytics.tuning.redrawn import redraw, weigh
from analytics.tuning.telling import about

GRID = Grid((0.1, 0.3), (1.3,), (2.0,), (0.0,))
STRICT, LOOSE = 1, 0
"""Candidates of that grid: flag from a chance of 0.3, and from 0.1."""


def cells(examined: tuple[int, int, int], faulty: tuple[int, int, int], panels: int = 60) -> Cells:
    """Return three cells: flagged at 0.3, flagged only at 0.1, never; findings spread over panels.

    Of 120, 240 and 2,400 readings.
    """
    counts = (120, 240, 2400)
    rows = []
    for cell, (count, seen, bad) in enumerate(zip(counts, examined, faulty, strict=True)):
        for panel in range(panels):
            part = [len(range(panel, n, panels)) for n in (count, seen, bad)]
            rows.append((panel, cell, *part))
    table = np.array(rows, dtype=float).T
    return Cells(
        stratum=np.zeros(3, np.int64),
        device_class=np.zeros(3, np.int64),
        band=np.array([1, -2, -6]),
        load=np.full(3, 4),
        is_flagged=np.array([True, False, False]),
        is_always=np.zeros(3, bool),
        passed=np.array([[2, 1, 1, 1], [1, 1, 1, 1], [0, 0, 0, 0]]),
        strata=("",),
        classes=("standard",),
        rows_panel=table[0].astype(np.int64),
        rows_cell=table[1].astype(np.int64),
        rows_count=table[2],
        rows_examined=table[3],
        rows_faulty=table[4],
    )


def test_which_candidate_flags_which_cell() -> None:
    flags = cells((80, 10, 70), (60, 2, 1)).flagged_by(GRID)
    assert flags.tolist() == [[True, True, False], [True, False, False]]
    always = replace(cells((80, 10, 70), (60, 2, 1)), is_always=np.array([False, False, True]))
    assert always.flagged_by(GRID)[:, 2].all()


def test_the_grid_holds_the_policy_in_force() -> None:
    policy = default_policy().moved(flag_lift_k=2.7)
    grid = Grid.around(policy)
    assert Lines(grid.lines[grid.place(policy)]).put_into(policy) == policy
    assert all(list(kind) == sorted(set(kind)) for kind in vars(grid).values())


def test_corrected_shares_by_hand() -> None:
    # Flagged: 120 of which 60/80 faulty = 90. Bands: 240·2/10 = 48, 2400·1/70 = 34.29.
    table = cells((80, 10, 70), (60, 2, 1))
    found = correct(table, table.is_flagged)
    missed = 240 * 2 / 10 + 2400 / 70
    assert found.sensitivity.value == pytest.approx(90 / (90 + missed))
    assert found.wasted_share.value == pytest.approx(0.25)
    loose = correct(table, table.flagged_by(GRID)[LOOSE])
    assert loose.sensitivity.value == pytest.approx(138 / (90 + missed))


def test_a_policy_younger_than_the_findings_does_not_mislead() -> None:
    # The looser policy is in force now; only 10 of 240 of its new flags were examined, 2 faulty,
    # and 80 of 120 of the old ones, 60 faulty: 90 + 48 faulty among 360 flagged, not 62 in 90.
    table = replace(cells((80, 10, 70), (60, 2, 1)), is_flagged=np.array([True, True, False]))
    found = correct(table, table.is_flagged)
    assert found.wasted_share.value == pytest.approx(1 - 138 / 360)
    assert found.sensitivity.value == pytest.approx(138 / (138 + 2400 / 70))


def test_weighing_panels_is_repeating_them() -> None:
    table = cells((80, 10, 70), (60, 2, 1))
    twice = table.totals(np.full(table.panel_count, 2.0))
    for once, doubled in zip(table.totals(), twice, strict=True):
        assert doubled == pytest.approx(2 * once)


def test_many_findings_speak_for_themselves() -> None:
    table = cells((120, 240, 2400), (90, 60, 24))
    share = fault_shares(table, table.totals())
    assert share == pytest.approx([0.75, 0.25, 0.01], abs=0.02)
    # A cell without findings leans on the recalibrated chance alone, between its neighbours.
    blank = fault_shares(
        table, (*table.totals()[:1], np.array([120, 0, 2400.0]), np.array([90, 0, 24.0]))
    )
    assert 0.01 < blank[1] < 0.75
    assert POOLING > 0


def test_shares_where_nothing_is_flagged() -> None:
    table = replace(cells((120, 240, 2400), (90, 60, 24)), is_flagged=np.zeros(3, bool))
    share = fault_shares(table, table.totals())
    assert share == pytest.approx([0.75, 0.25, 0.01], abs=0.03)


def test_costs_follow_from_the_shares() -> None:
    table = cells((120, 240, 2400), (90, 60, 24))
    found = weigh(table, GRID, Lines(GRID.lines[STRICT]))
    missed, wasted = found.missed[:, 0], found.wasted[:, 0]
    assert missed[STRICT] - missed[LOOSE] == pytest.approx(60, abs=3)
    assert wasted[LOOSE] - wasted[STRICT] == pytest.approx(180, abs=3)
    assert Costs(300.0, 100.0).break_even == 0.25


def test_of_equals_the_policy_in_force_stays() -> None:
    flags = np.array([[True, False], [True, True], [True, False]])
    assert least_cost(np.array([5.0, 5.0, 5.0]), 2, flags) == 2
    assert least_cost(np.array([4.0, 4.0, 5.0]), 2, flags) == 0


def chosen(table: Cells, costs: Costs, place: int, most_visits: float | None = None) -> Choice:
    # The grid of two chances has only ends; two more beside it, which nothing passes or all do.
    wide = Grid((0.01, 0.1, 0.3, 0.9), (1.3, 9.0), (2.0, 9.0), (0.0,))
    passed = table.passed + np.array([[1, 0, 0, 0], [1, 0, 0, 0], [0, 0, 0, 0]])
    found = replace(table, passed=passed)
    in_force = wide.lines.index(GRID.lines[place])
    is_flagged = found.flagged_by(wide)[in_force]
    return choose(
        weigh(replace(found, is_flagged=is_flagged), wide, Lines(wide.lines[in_force])),
        costs,
        4,
        most_visits,
    )


def difference(choice: Choice) -> Difference:
    assert choice.difference
    return choice.difference


@pytest.mark.parametrize(("visit", "best"), [(20.0, LOOSE), (900.0, STRICT)])
def test_a_clear_difference_is_told(visit: float, best: int) -> None:
    # A quarter of the devices between the lines is faulty: a visit pays below a third of a fault.
    choice = chosen(cells((120, 200, 800), (90, 50, 8)), Costs(300.0, visit), 1 - best)
    found = difference(choice)
    assert found.is_told
    assert found.low > 0
    assert found.differing_count == 240 if best == LOOSE else found.differing_count >= 240
    by_hand = abs(60 * 300 - 180 * visit) / 4
    if best == LOOSE:
        assert choice.is_recommended
        assert found.examined_among == 200
        assert found.saved + found.flattery == pytest.approx(by_hand, rel=0.06)


def test_few_findings_do_not_tell_and_say_how_many_would() -> None:
    costs = Costs(300.0, 60.0)
    found = difference(chosen(cells((80, 12, 70), (60, 3, 1)), costs, STRICT))
    assert not found.is_told
    assert 1 <= found.needed <= 240 - 12
    none = difference(chosen(cells((80, 4, 70), (60, 2, 1)), costs, STRICT))
    assert none.needed >= 6
    # With as many as it asks for, alike, they are told apart better.
    share = 12 + found.needed
    again = difference(chosen(cells((80, share, 70), (60, round(share / 4), 1)), costs, STRICT))
    assert again.high - again.low < found.high - found.low


def test_the_same_store_says_the_same() -> None:
    table, costs = cells((80, 12, 70), (60, 3, 1)), Costs(300.0, 60.0)
    assert chosen(table, costs, STRICT) == chosen(table, costs, STRICT)


def test_what_cannot_be_sent_is_not_considered() -> None:
    """The looser policy needs (120 + 240) / 4 = 90 visits a quarter."""
    table, costs = cells((120, 200, 800), (90, 50, 8)), Costs(300.0, 20.0)
    assert chosen(table, costs, STRICT, most_visits=90).is_recommended
    held = chosen(table, costs, STRICT, most_visits=89)
    assert held.difference is None
    assert held.limit is None


def test_where_the_policy_in_force_does_not_fit_it_says_so() -> None:
    """In force needs (120 + 240) / 4 = 90 visits a quarter, the strict one 30, none of all 0."""
    table, costs = cells((120, 200, 800), (90, 50, 8)), Costs(300.0, 20.0)
    strict = chosen(table, costs, LOOSE, most_visits=60)
    assert strict.limit == Limit(60, 90, 0)
    # Without the visits that pay, more is lost: the best that fits is told, not recommended.
    assert difference(strict).saved < 0
    assert not strict.is_recommended


def test_an_end_of_the_grid_is_no_choice_to_adopt() -> None:
    table = cells((120, 200, 800), (90, 50, 8))
    narrow = Grid((0.1, 0.3), (1.3, 9.0), (2.0, 9.0), (0.0,))
    choice = choose(weigh(table, narrow, Lines(GRID.lines[STRICT])), Costs(300.0, 20.0), quarters=4)
    assert difference(choice).is_told
    assert choice.is_at_end
    assert not choice.is_recommended


def test_at_costs_where_nothing_is_gained_the_policy_in_force_stays() -> None:
    """A quarter of the devices between the lines is faulty, a visit pays from 99 in 399."""
    alone = chosen(cells((120, 200, 800), (90, 50, 8)), Costs(300.0, 99.0), STRICT)
    assert alone.difference is None or not alone.is_recommended


def test_drawn_anew_the_mean_is_the_estimate() -> None:
    """Counts of panels drawn with replacement have the counts themselves as their mean."""
    table = cells((120, 240, 2400), (90, 60, 24))
    found = redraw(table)
    total = (found.faulty + found.sound).sum(axis=1)
    assert total[0] == pytest.approx(120 + 240 + 2400)
    assert total[1:].mean() == pytest.approx(total[0], rel=0.01)
    assert found.faulty[1:].mean(axis=0) == pytest.approx(found.faulty[0], rel=0.1)


def test_bands_keep_their_sum_however_finely_lines_are_tried() -> None:
    """Cells of one band are cut in two; what the band holds in all stays."""
    table = cells((80, 10, 70), (60, 2, 1))
    cut = replace(
        table,
        stratum=np.zeros(4, np.int64),
        device_class=np.zeros(4, np.int64),
        band=np.array([1, -2, -6, -6]),
        load=np.full(4, 4),
        is_flagged=np.array([True, False, False, False]),
        is_always=np.zeros(4, bool),
        passed=np.array([[2, 1, 1, 1], [1, 1, 1, 1], [0, 0, 0, 0], [1, 0, 0, 0]]),
        rows_cell=np.where(
            (table.rows_cell == 2) & (table.rows_panel % 3 == 0), 3, table.rows_cell
        ),
    )
    sums = [float((t.totals()[0] * fault_shares(t, t.totals()))[2:].sum()) for t in (table, cut)]
    assert sums[0] == pytest.approx(sums[1], rel=1e-9)


@pytest.mark.parametrize(
    ("value", "words"), [(17_278, "17,000"), (-370.4, "−370"), (8.4, "8"), (0, "0"), (99.6, "100")]
)
def test_money_has_two_digits(value: float, words: str) -> None:
    assert about(value) == words
