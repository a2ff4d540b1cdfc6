"""The way to the policy proposed in parts, and what is said where another may cost less."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from analytics.tuning import advice, redrawn
from analytics.tuning.chain import Chain
from analytics.tuning.choice import Choice, Costs, choose
from analytics.tuning.consequences import FACTORS, Consequences, consequences
from analytics.tuning.further import Further, cheaper, further, part
from analytics.tuning.lines import Lines
from analytics.tuning.redrawn import Weighed, weigh
from tests.tuning import test_chain, test_choice
from tests.tuning.test_chain import QUARTERS

COSTS = Costs(20.0, 1.0)


@pytest.fixture(autouse=True)
def fewer_draws(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(redrawn, "DRAWS", 100)


def chosen() -> list[tuple[Weighed, Choice]]:
    made = [test_chain.weighed(seed) for seed in range(12)]
    return [(one, choose(one, COSTS, QUARTERS)) for one in made]


def saved(one: Weighed, pick: int) -> float:
    missed, wasted = one.missed[:, 0], one.wasted[:, 0]
    gained = missed[one.place] - missed[pick]
    return float(20.0 * gained + wasted[one.place] - wasted[pick]) / QUARTERS


def test_the_parts_add_up_to_the_whole() -> None:
    told = 0
    for one, choice in chosen():
        found = further(one, choice, COSTS, QUARTERS)
        assert (found is None) == (choice.quieter is None)
        if found is None:
            continue
        told += 1
        whole = part(one, (one.place, choice.shared), COSTS, QUARTERS)
        both = (found.first, found.last)
        for name in ("saved", "differing_count", "examined_among"):
            parts = [getattr(each.difference, name) for each in both]
            assert sum(parts) == pytest.approx(getattr(whole.difference, name))
        assert sum(each.visits for each in both) == pytest.approx(whole.visits)
        assert sum(each.faulty for each in both) == whole.faulty
        assert whole.difference.saved == pytest.approx(saved(one, choice.shared))
    assert told >= 3


def test_a_part_by_hand() -> None:
    """Between the lines lie 240 devices, 60 a quarter; 200 were examined, 50 of these faulty."""
    table = test_choice.cells((120, 200, 800), (90, 50, 8))
    one = weigh(table, test_choice.GRID, Lines(test_choice.GRID.lines[test_choice.STRICT]))
    ends = (test_choice.STRICT, test_choice.LOOSE)
    found = part(one, ends, Costs(300.0, 20.0), 4)
    assert (found.visits, found.faulty) == (60.0, 50)
    assert (found.difference.differing_count, found.difference.examined_among) == (240, 200)
    assert found.difference.saved == pytest.approx((60 * 300 - 180 * 20) / 4, rel=0.05)
    back = part(one, ends[::-1], Costs(300.0, 20.0), 4)
    assert back.visits == -60.0
    assert back.difference.saved == pytest.approx(-found.difference.saved)


def way(needed: int | None) -> Further:
    table = test_choice.cells((120, 200, 800), (90, 50, 8))
    one = weigh(table, test_choice.GRID, Lines(test_choice.GRID.lines[test_choice.STRICT]))
    first = part(one, (test_choice.STRICT, test_choice.LOOSE), Costs(300.0, 20.0), 4)
    last = replace(first, former=first.lines, lines=(0.05, *first.lines[1:]))
    return Further(first, replace(last, difference=replace(last.difference, needed=needed)))


@pytest.mark.parametrize(
    ("needed", "words"),
    [
        (0, ", which the findings tell too: of the 240 devices between 200 were examined"),
        (31, "or stop at a chance of 10 % and have about 31 more of the devices between examined."),
        (None, "cannot tell: of the 240 devices between 200 were examined and 50 of these were"),
        (None, "faulty. Stop at a chance of 10 %: it is not expected to save more."),
    ],
)
def test_which_part_is_told_is_said(needed: int | None, words: str) -> None:
    text = way(needed).sentence
    assert words in text
    assert "comes with a chance of 10 % and 60 more visits a quarter: the surer lines" in text
    assert "Going on to a chance of 5 % takes 60 more visits a quarter" in text


def test_what_may_cost_less_is_told_where_the_policy_in_force_is_kept() -> None:
    one, choice = chosen()[0]
    chain: Chain = one.chain
    kept = replace(choice, pick=one.place, difference=None, quieter=None)
    assert cheaper(one, replace(kept, least=one.place), COSTS, QUARTERS) is None
    other = chain.places[chain.start + 1]
    told = cheaper(one, replace(kept, least=other), COSTS, QUARTERS)
    assert told
    assert told.difference.saved == pytest.approx(saved(one, other))
    asked = consequences(one, replace(kept, least=other), COSTS, (QUARTERS, None), one)
    open_ = replace(told, difference=replace(told.difference, needed=5))
    words = advice.kept(replace(asked, cheaper=open_))
    assert words.startswith(f"{advice.lines_of(told.lines)} may cost about")
    assert "; the findings cannot tell. About 5 more findings would tell, among" in words
    sure = replace(asked, cheaper=replace(told, difference=replace(told.difference, needed=0)))
    assert advice.kept(sure).endswith("by itself, but picked among many that is not told.")
    assert advice.kept(None) == "no other of those tried costs less on these findings."


def turning() -> Consequences:
    one, choice = next((one, choice) for one, choice in chosen() if choice.is_recommended)
    return consequences(one, choice, COSTS, (QUARTERS, None), one)


def test_stances_alike_are_told_once() -> None:
    found = turning()
    inner = [
        [one for one in found.stances if a.factor <= one.factor <= b.factor] for a, b in found.runs
    ]
    assert [one for run in inner for one in run] == list(found.stances)
    assert all(len({one.lines for one in run}) == 1 for run in inner)
    firsts = [run[0].lines for run in inner]
    assert all(a != b for a, b in pairwise(firsts))
    assert (found.stances[0].factor, found.stances[-1].factor) == (0.5, 2.0)
    assert np.diff(FACTORS) == pytest.approx(1 / 16)
    assert advice.span(found.runs[0], COSTS).startswith(("at 10", "from 10 to "))
