"""Parts of the caught faults: they add up, lean on like evidence, and hold the truth."""

from __future__ import annotations

import numpy as np
import pytest

from analytics.tuning.margins import Margin, Side, _disagreement, subject_margins

LEVELS = ("lake", "north", "valley")
COUNTS = np.array([[40, 20], [80, 40], [60, 10]]), np.array([[3000, 200], [6000, 500], [4500, 90]])
"""Readings flagged and not, by office and by two kinds, the second of more evidence."""
SHARES = np.array([0.5, 0.9]), np.array([0.01, 0.1])
SEEN = np.array([0.5, 0.5]), np.array([0.03, 0.2])
"""Shares faulty and examined by kind: the more evidence, the oftener both."""


def sides(seed: int, factor: np.ndarray, seen: tuple[np.ndarray, np.ndarray] = SEEN) -> list[Side]:
    """Draw faults and findings; of each office the shares missed are `factor` times the usual."""
    rng, found = np.random.default_rng(seed), []
    for count, share, part, times in zip(COUNTS, SHARES, seen, (np.ones(3), factor), strict=True):
        examined = rng.binomial(count, part)
        faulty = rng.binomial(examined, share * times[:, None])
        found.append(Side(count.astype(float), examined.astype(float), faulty.astype(float)))
    return found


def whole(found: list[Side]) -> tuple[float, float]:
    flagged, clear = (float(np.sum(side.count @ side.share)) for side in found)
    return flagged, clear


def true_shares(factor: np.ndarray) -> np.ndarray:
    caught, missed = (
        (count * share).sum(axis=1) for count, share in zip(COUNTS, SHARES, strict=True)
    )
    return np.asarray(caught / (caught + factor * missed))


def test_parts_add_up_to_the_whole() -> None:
    for seed in range(5):
        found = sides(seed, np.array([0.5, 1.0, 2.0]))
        flagged, missed = whole(found)
        parts = subject_margins("office", LEVELS, found, (flagged, missed))
        assert sum(one.missed for one in parts) == pytest.approx(missed)
        caught = sum(
            one.missed * one.sensitivity.value / (1 - one.sensitivity.value) for one in parts
        )
        assert caught == pytest.approx(flagged)


def test_a_part_without_findings_of_its_own_has_the_shares_of_like_evidence() -> None:
    """By hand: 20 of 40 flagged and 2 of 100 others are faulty in the first office alone."""
    flagged = Side(np.array([[80.0], [40.0]]), np.array([[40.0], [0]]), np.array([[20.0], [0]]))
    clear = Side(np.array([[900.0], [300]]), np.array([[100.0], [0]]), np.array([[2.0], [0]]))
    first, second = subject_margins("office", ("lake", "north"), (flagged, clear), (60.0, 24.0))
    assert first.missed == pytest.approx(18)
    assert second.missed == pytest.approx(6)
    assert second.sensitivity.is_bound
    assert first.sensitivity.value == pytest.approx(40 / 58)
    assert (first.faulty, first.examined_clear, second.examined) == (22, 100, 0)


@pytest.mark.parametrize(
    ("factor", "off"), [((1.0, 1.0, 1.0), 0.03), ((0.6, 1.0, 1.5), 0.1)], ids=str
)
def test_the_truth_is_held(factor: tuple[float, ...], off: float) -> None:
    """200 draws of findings: 93 % or more of the intervals hold; parts are drawn to the whole."""
    times = np.array(factor)
    truth, held, values = true_shares(times), np.zeros(3), []
    for seed in range(200):
        found = sides(seed, times)
        parts = subject_margins("office", LEVELS, found, whole(found))
        rates = [one.sensitivity for one in parts]
        held += [one.low <= true <= one.high for one, true in zip(rates, truth, strict=True)]
        values.append([one.value for one in rates])
    assert held.min() >= 186
    assert np.mean(values, axis=0) == pytest.approx(truth, abs=off)


def test_parts_and_whole_that_disagree_are_told_seldom_by_chance() -> None:
    """Whoever is examined, at random in each kind: 2.4 standard errors in fewer than 6 of 200."""
    told = sum(bool(_disagreement("office", *sides(seed, np.ones(3)))) for seed in range(200))
    assert told <= 6


def test_parts_and_whole_that_disagree_are_told() -> None:
    """The office with most faults is hardly examined, so that the whole is taken too lightly."""
    factor = np.array([1.0, 4.0, 1.0])
    seen = (SEEN[0], np.array([[0.3, 0.3], [0.02, 0.02], [0.3, 0.3]]))
    told = [_disagreement("office", *sides(seed, factor, seen)) for seed in range(20)]
    assert sum(map(bool, told)) >= 15
    notice = next(one[0] for one in told if one)
    assert notice.code == "parts_differ_office"
    assert "tune --by office" in notice.sentence


def test_what_was_never_found_faulty_is_unknown() -> None:
    clear = Side(np.array([[10.0]]), np.array([[4.0]]), np.array([[0.0]]))
    flagged = Side(np.array([[3.0]]), np.array([[2.0]]), np.array([[0.0]]))
    (one,) = subject_margins("office", ("lake",), (flagged, clear), (0.0, 0.0))
    assert isinstance(one, Margin)
    assert one.sensitivity.is_bound
    assert one.missed == 0
