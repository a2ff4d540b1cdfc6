"""Lines of its own for a class: told where they pay, refused with few findings, else not told."""

from __future__ import annotations

from dataclasses import replace

import pytest

from analytics.tuning import redrawn
from analytics.tuning.cells import Cells
from analytics.tuning.classes import LEAST_FAULTS, ClassLines, class_lines, sentence, words
from analytics.tuning.redrawn import weigh
from tests.tuning.fleets import COSTS, GRID, LOOSE, QUARTERS, STRICT, fleet


@pytest.fixture(autouse=True)
def fewer_draws(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(redrawn, "DRAWS", 200)


def found_in(cells: Cells) -> tuple[ClassLines, ...]:
    return class_lines(weigh(cells, GRID, STRICT), COSTS, (QUARTERS, None)).classes


def test_a_class_that_differs_is_told() -> None:
    """In one class 6 in 10 of the middle are faulty, in the other 1 in 100: no set fits both."""
    found = found_in(fleet((0.6, 0.01), 1))
    assert [one.lines for one in found] == [LOOSE.shared, STRICT.shared]
    # Whatever is shared, one class loses: flagging 600 with 6 faulty, or missing 360 of 600.
    told = [one for one in found if one.is_told]
    assert len(told) == 1
    wanted = (360 * 300 - 240 * 100) / 4 if told[0] is found[0] else (594 * 100 - 6 * 300) / 4
    assert told[0].saved == pytest.approx(wanted, rel=0.2)


def test_alike_classes_are_not_told_apart() -> None:
    """Eight fleets of two alike classes near break-even: one of 16 told would be 5 % by chance."""
    told = [one.is_told for seed in range(8) for one in found_in(fleet((0.25, 0.25), seed))]
    assert sum(told) <= 1


def test_with_few_findings_nothing_is_chosen() -> None:
    few = found_in(fleet((0.6, 0.01), 1, seen=0.01))
    assert [one.lines for one in few] == [None, None]
    assert [one.why_not for one in few] == ["few", "few"]
    assert all(not one.is_told for one in few)
    assert f"of {LEAST_FAULTS} wanted" in " ".join(words(few))
    assert sentence(few) == "No class has lines of its own in the proposal."


def test_the_same_store_says_the_same() -> None:
    cells = fleet((0.6, 0.01), 1)
    one, two = (found_in(cells) for _ in range(2))
    assert one == two
    assert found_in(replace(cells, classes=("main", "gfci")))[0].device_class == "main"
