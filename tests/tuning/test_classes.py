"""Lines of its own for a class: told where they pay, refused with few findings, else not told."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from analytics.tuning import classes
from analytics.tuning.cells import Cells, Grid
from analytics.tuning.choice import Costs
from analytics.tuning.classes import LEAST_FAULTS, class_lines, words

GRID = Grid((0.1, 0.3), (1.3,), (2.0,), (0.0,))
STRICT = 1
COSTS = Costs(300.0, 100.0)
"""A visit pays from a quarter of the devices faulty."""
PANELS = 200


@pytest.fixture(autouse=True)
def fewer_draws(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(classes, "DRAWS", 200)


def fleet(shares: tuple[float, float], seed: int, seen: float = 0.5) -> Cells:
    """Return two classes of three cells each: flagged at 0.3, only at 0.1, never.

    `shares` are those of faulty devices in the middle cell of each class; three quarters are faulty
    among the flagged, one in a hundred at the other end.
    """
    rng, rows = np.random.default_rng(seed), []
    counts = (200, 600, 2400)
    for number in (0, 1):
        for cell, (count, share) in enumerate(
            zip(counts, (0.75, shares[number], 0.01), strict=True)
        ):
            panel = rng.integers(0, PANELS, count)
            faulty = rng.random(count) < share
            examined = rng.random(count) < (0.7 if cell == 0 else seen)
            for one in range(PANELS):
                own = panel == one
                if own.any():
                    part = [own.sum(), (own & examined).sum(), (own & examined & faulty).sum()]
                    rows.append((one, 3 * number + cell, *part))
    table = np.array(rows, dtype=float).T
    return Cells(
        stratum=np.repeat([0, 1], 3).astype(np.int64),
        band=np.array([1, -2, -6] * 2),
        is_flagged=np.array([True, False, False] * 2),
        is_always=np.zeros(6, bool),
        passed=np.array([[2, 1, 1, 1], [1, 1, 1, 1], [0, 0, 0, 0]] * 2),
        strata=("afci", "standard"),
        rows_panel=table[0].astype(np.int64),
        rows_cell=table[1].astype(np.int64),
        rows_count=table[2],
        rows_examined=table[3],
        rows_faulty=table[4],
    )


def test_a_class_that_differs_is_told() -> None:
    """In one class 6 in 10 of the middle are faulty, in the other 1 in 100: no set fits both."""
    found = class_lines(fleet((0.6, 0.01), 1), GRID, STRICT, COSTS, quarters=4)
    afci, standard = found
    assert afci.lines == GRID.lines[0]
    assert standard.lines == GRID.lines[1]
    # Whatever is shared, one class loses: flagging 600 with 6 faulty, or missing 360 of 600.
    assert [one.is_told for one in found].count(True) == 1
    told = next(one for one in found if one.is_told)
    wanted = (360 * 300 - 240 * 100) / 4 if told is afci else (594 * 100 - 6 * 300) / 4
    assert told.saved == pytest.approx(wanted, rel=0.2)
    assert "they would pay" in " ".join(words(found))


def test_alike_classes_are_not_told_apart() -> None:
    """Eight fleets of two alike classes near break-even: one of 16 told would be 5 % by chance."""
    told = [
        one.is_told
        for seed in range(8)
        for one in class_lines(fleet((0.25, 0.25), seed), GRID, STRICT, COSTS, quarters=4)
    ]
    assert sum(told) <= 1


def test_with_few_findings_nothing_is_chosen() -> None:
    few = class_lines(fleet((0.6, 0.01), 1, seen=0.01), GRID, STRICT, COSTS, quarters=4)
    assert [one.lines for one in few] == [None, None]
    assert all(not one.is_told for one in few)
    assert f"of {LEAST_FAULTS} wanted" in " ".join(words(few))


def test_the_same_store_says_the_same() -> None:
    cells = fleet((0.6, 0.01), 1)
    one, two = (class_lines(cells, GRID, STRICT, COSTS, quarters=4) for _ in range(2))
    assert one == two
    moved = replace(cells, strata=("main", "standard"))
    assert class_lines(moved, GRID, STRICT, COSTS, quarters=4)[0].device_class == "main"
