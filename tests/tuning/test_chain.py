"""The chain of policies: nested, through the one in force, and monotone in the cost ratio."""

from __future__ import annotations

import numpy as np
import pytest

from analytics.tuning import redrawn
from analytics.tuning.cells import Cells, Grid
from analytics.tuning.chain import Chain
from analytics.tuning.choice import Choice, Costs, choose
from analytics.tuning.consequences import consequences
from analytics.tuning.lines import Lines
from analytics.tuning.redrawn import Weighed, weigh

GRID = Grid((0.01, 0.05, 0.1, 0.3, 0.6), (1.0, 1.3, 2.0), (1.0, 2.0), (0.0, 0.3))
IN_FORCE = (0.1, 1.3, 2.0, 0.0)
PANELS, QUARTERS = 80, 4


def fleet(seed: int) -> Cells:
    """Return random cells with random findings: no shape of them is taken for granted."""
    rng, size = np.random.default_rng(seed), 40
    passed = rng.integers(0, [6, 4, 3, 3], (size, 4))
    rows = []
    for cell in range(size):
        for panel in rng.choice(PANELS, 12, replace=False).tolist():
            count = int(rng.integers(1, 6))
            seen = int(rng.binomial(count, 0.3))
            rows.append((panel, cell, count, seen, rng.binomial(seen, rng.random() / 2)))
    table = np.array(rows, dtype=float).T
    flagged = np.all(passed >= [3, 2, 2, 1], axis=1)
    return Cells(
        stratum=np.zeros(size, np.int64),
        device_class=np.zeros(size, np.int64),
        band=rng.integers(-7, 3, size),
        load=rng.integers(1, 8, size),
        is_flagged=flagged,
        is_always=np.zeros(size, bool),
        passed=passed,
        strata=("",),
        classes=("standard",),
        rows_panel=table[0].astype(np.int64),
        rows_cell=table[1].astype(np.int64),
        rows_count=table[2],
        rows_examined=table[3],
        rows_faulty=table[4],
    )


@pytest.fixture(autouse=True)
def fewer_draws(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(redrawn, "DRAWS", 100)


def weighed(seed: int) -> Weighed:
    return weigh(fleet(seed), GRID, Lines(IN_FORCE))


def test_each_policy_flags_all_that_the_one_before_flags() -> None:
    for seed in range(5):
        one = weighed(seed)
        flags = one.flags[list(one.chain.places)]
        assert np.all(flags[1:] >= flags[:-1])
        assert np.all(np.sum(flags[1:] != flags[:-1], axis=1) > 0)
        assert one.chain.places[one.chain.start] == one.place
        chances = [GRID.lines[place][0] for place in one.chain.places]
        assert chances == sorted(chances, reverse=True)
        assert [chance in (0.01, 0.6) for chance in chances] == list(one.chain.is_end)


def test_of_equal_cost_the_fewest_flags() -> None:
    """Steps miss 2, 1 and 1 and send 0, 3 and 3 in vain: equal at a ratio of 3, then the second."""
    line = Chain((0, 1, 2), 0, (False,) * 3)
    missed, wasted = np.array([[2.0], [1.0], [1.0]]), np.array([[0.0], [3.0], [3.0]])
    assert [int(line.first_best(missed, wasted, one, 3)[0]) for one in (2.9, 3.0, 3.1)] == [0, 0, 1]
    assert int(line.first_best(missed, wasted, 9.0, 1)[0]) == 0


def visits(one: Weighed, choice: Choice) -> float:
    """Return what a recommended policy sends; the policy in force where none is recommended."""
    place = choice.pick if choice.is_recommended else one.place
    return float(one.cells.totals()[0][one.flags[place]].sum())


def test_a_dearer_missed_fault_never_proposes_fewer_visits() -> None:
    """120 cost ratios whose break-even lies among the chances tried, on 25 random fleets."""
    moved = 0
    for seed in range(25):
        one = weighed(seed)
        choices = [choose(one, Costs(ratio, 1.0), QUARTERS) for ratio in np.geomspace(0.7, 98, 120)]
        sent = [visits(one, choice) for choice in choices]
        assert sent == sorted(sent)
        limited = [
            visits(
                one, choose(one, Costs(ratio, 1.0), QUARTERS, most_visits=sent[0] / QUARTERS + 9)
            )
            for ratio in np.geomspace(0.7, 98, 20)
        ]
        assert limited == sorted(limited)
        moved += len(set(sent)) > 1
    # The test would be empty if nothing were ever recommended.
    assert moved >= 10


def test_steps_add_up_to_the_whole() -> None:
    one, costs = weighed(3), Costs(20.0, 1.0)
    choice = choose(one, costs, QUARTERS)
    found = consequences(one, choice, costs, (QUARTERS, None), one)
    steps = found.steps
    marked = [number for number, step in enumerate(steps) if step.is_in_force or step.is_proposed]
    assert len(marked) == 2
    first, last = marked
    inner = steps[first + 1 : last + 1]
    gained = 20.0 * sum(step.found for step in inner) - sum(step.in_vain for step in inner)
    assert gained == pytest.approx(abs(steps[last].saved - steps[first].saved))
    assert sum(choice.best_in) == pytest.approx(1.0)
    assert [one.factor for one in found.stances] == sorted(one.factor for one in found.stances)
