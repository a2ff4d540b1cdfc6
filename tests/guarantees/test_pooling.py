"""What small fleets lean on: laws that minutes, shelter, spreads and visits are pooled towards."""

from __future__ import annotations

import numpy as np
import pytest

from analytics.baseline import minutes, shelter
from analytics.baseline.effects import moment_variance
from analytics.baseline.visits import visit_variance
from analytics.statistics.spread_law import fit_spread
from analytics.warehouse import open_store

SETTLED = 0.12


def test_a_load_that_came_on_late_follows_the_first_order_law() -> None:
    """1 - exp(-t / tau) = 63.2, 86.5, 95.0 % at 1, 2, 3 tau: CHECKS A29 (common practice, D)."""
    law = 1.0 - np.exp(-np.array([20.0, 40.0, 60.0]) / minutes.BODY_MINUTES)
    assert law == pytest.approx([0.632, 0.865, 0.950], abs=5e-4)
    left = 1.0 - minutes.SETTLED_LEFT
    at = [4, 9]
    assert minutes.usual_factor(1.0)[at] * left == pytest.approx(law[[0, 2]])


@pytest.mark.parametrize("late", [0.2, 0.5, 0.8])
def test_usual_factor_and_spread_are_those_of_a_mixed_panel(late: float) -> None:
    """Devices of which some came on late, the rest long before: mean and spread by simulation."""
    rng = np.random.default_rng(11)
    came_late = rng.random((400_000, 1)) < late
    shown = 1.0 - came_late * minutes.LEFT
    gauge = 1.0 - late * minutes.SETTLED_LEFT
    assert minutes.usual_factor(late) == pytest.approx(shown.mean(axis=0) / gauge, abs=2e-3)
    relative = np.hypot(SETTLED, shown.std(axis=0) / shown.mean(axis=0))
    settled = np.sqrt(np.mean(relative[minutes.SETTLED_BAND :] ** 2))
    usual = minutes.usual_spread(late, SETTLED)
    assert usual == pytest.approx(relative / settled, rel=0.05)


def test_the_late_share_is_found_from_the_bands() -> None:
    truth = 0.75
    found = minutes.late_share(minutes.usual_factor(truth), np.full(11, 1e6), 1e-4)
    assert found == pytest.approx(truth, abs=0.01)


def test_shelter_is_what_a_heat_balance_gives() -> None:
    """The factor against the solved balance of one device among neighbours, by linear algebra."""
    own, vertical, across = 1.0, 0.33, 0.12
    whole = own + 2 * vertical + across
    slopes = (vertical / whole, across / whole, vertical / whole)
    power, warm = 12.0, np.array([3.0, 5.0, 2.0])

    def rise(contacts: np.ndarray) -> float:
        """Solve power = own r + sum of contact (r - neighbour)."""
        return float((power + contacts @ warm) / (own + contacts.sum()))

    factor = shelter.usual_factor(*slopes)
    for level, contacts in {
        0: [vertical, vertical, across],
        1: [vertical, 0.0, across],
        2: [0.0, 0.0, across],
        3: [vertical, vertical, 0.0],
        5: [0.0, 0.0, 0.0],
    }.items():
        near = np.array(contacts)
        predicted = factor[level] * (power + near @ warm) / whole
        assert predicted == pytest.approx(rise(near))


def test_each_way_of_being_hemmed_in_gets_its_own_law() -> None:
    """The levels as the query numbers them, beside the array that is laid along them."""
    with open_store() as store:
        store.build("fitting.shelter_level")
        levels = store.fetch(
            "select channel, pole_family, shelter_level from fitting.shelter_level "
            "order by shelter_id"
        )
    channels = ["face", "face", "face", "termination", "termination", "termination"]
    channels += ["conductor"] * 3
    classes, poles = ["standard", "standard", "main"] * 3, [False, True, True] * 3
    slopes = np.zeros((9, 6))
    slopes[:, 3] = np.arange(1, 10) / 30.0  # a neighbour slope of its own for each
    found = shelter.usual_factors(channels, classes, poles, slopes)
    of = {key: slopes[g, 3] for g, key in enumerate(zip(channels, classes, poles, strict=True))}
    families = {"one_pole": ("standard", False), "two_pole": ("standard", True)}
    for at, (channel, family, level) in enumerate(levels):
        slope = of[channel, *families.get(family, ("main", True))]
        expected = shelter.usual_factor(slope, 0.0, 0.0, share=shelter.SLOPE_SHARE)[level]
        assert found[at] == pytest.approx(expected)


def test_the_level_of_the_spread_is_set_once() -> None:
    """Bands that all scatter alike leave their factors: the spread of the groups carries it."""
    spread, late = np.ones((3, 11)), np.full(3, 0.5)
    rows = [("face", band, 500, 1.7) for band in range(11)]
    for _ in range(40):
        minutes.update_spreads(spread, late, np.full(3, SETTLED), rows)
    assert np.log(spread[0, minutes.SETTLED_BAND :]).mean() == pytest.approx(0.0, abs=0.02)


@pytest.mark.parametrize("levels", [2, 4])
def test_variance_of_centred_effects_is_found(levels: int) -> None:
    """Effects about their owner's mean, by simulation; counted about nil it came out at a third."""
    rng = np.random.default_rng(8)
    groups, truth, weight = 6000, 0.02, 100.0
    effects = rng.normal(0, np.sqrt(truth), (groups, levels))
    seen = effects + rng.normal(0, np.sqrt(1 / weight), (groups, levels))
    seen -= seen.mean(axis=1, keepdims=True)
    owner = np.repeat(np.arange(float(groups)), levels)
    precision = np.full(groups * levels, weight)
    found = moment_variance(seen.ravel() * precision, precision, 0.01, owner)
    assert found == pytest.approx(truth, rel=0.12)


def test_spreads_are_found_without_bias_from_few_rows() -> None:
    """Bins of six rows each: weights by the bins' own spreads would find a third too little."""
    rng = np.random.default_rng(5)
    noise, share = 0.6, 0.15
    rises = np.array([0.5, 1.5, 3.0, 6.0, 12.0])
    found = []
    for _ in range(300):
        true = np.hypot(noise, share * rises)
        seen = np.sqrt((rng.normal(0, true, (6, 5)) ** 2).mean(axis=0))
        found.append(np.square(fit_spread(np.full(5, 6.0), rises, seen, 0.05)))
    assert np.sqrt(np.mean(found, axis=0)) == pytest.approx([noise, share], rel=0.12)


def test_visit_variance_is_that_of_the_analysis_of_variance() -> None:
    """Balanced groups: the moment estimate is the textbook's (mean square - 1) / weight."""
    rng = np.random.default_rng(2)
    weight, truth, levels, visits = 8.0, 0.9, 500, 4
    y = rng.normal(0, 2, (levels, 1)) + rng.normal(0, np.sqrt(truth + 1 / weight), (levels, visits))
    square = float((weight * (y - y.mean(axis=1, keepdims=True)) ** 2).sum())
    freedom = levels * (visits - 1)
    within = freedom * weight
    assert visit_variance(freedom, weight, within, square) == pytest.approx(truth, rel=0.08)


def test_one_visit_a_camera_leaves_the_usual_variance() -> None:
    assert visit_variance(0, 10.0, 0.0, 0.0) == pytest.approx(0.5)
