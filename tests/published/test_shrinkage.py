"""Shrunken shares against the classic examples."""

from __future__ import annotations

import numpy as np
import pytest

from analytics.errors import NotEnoughDataError
from analytics.statistics import shrinkage
from tests.published import chart_tables as given


def test_batting_averages_on_the_arcsine_scale() -> None:
    """S-B4: Efron, Morris 1975, the printed estimates within 0.001 (MEM); factor 0.208974 (RUN-PY).

    Squared errors on the arcsine scale 17.5707 without and 4.9989 with shrinking; printed are 17.56
    and 5.01, from rounded averages.
    """
    found, factor = shrinkage.arcsine_james_stein(given.BATTING_HITS, 45)
    assert factor == pytest.approx(0.208974, abs=5e-7)
    printed = [0.290, 0.286, 0.282, 0.277, 0.273, 0.273, 0.268, 0.264, 0.259, 0.259]
    printed += [0.254] * 5 + [0.249, 0.244, 0.239]
    assert found == pytest.approx(printed, abs=1.01e-3)

    def scale(share: np.ndarray) -> np.ndarray:
        return np.sqrt(45) * np.arcsin(2 * share - 1)

    truth = scale(given.BATTING_LATER)
    plain = np.sum((scale(given.BATTING_HITS / 45) - truth) ** 2)
    assert plain == pytest.approx(17.5707, abs=5e-5)
    assert np.sum((scale(found) - truth) ** 2) == pytest.approx(4.9989, abs=5e-5)


def test_batting_averages_as_they_are() -> None:
    """S-B4: factor 0.212 about 0.265 (Scientific American 1977; MEM+, 0.2116534 RUN-PY)."""
    share = given.BATTING_HITS / 45
    mean = share.mean()
    found, factor = shrinkage.james_stein(share, mean * (1 - mean) / 45)
    assert factor == pytest.approx(0.2116534, abs=5e-8)
    assert mean == pytest.approx(0.265, abs=5e-4)
    assert [found[0], found[1], found[-1]] == pytest.approx([0.294, 0.289, 0.242], abs=5e-4)
    error = np.sum((share - given.BATTING_LATER) ** 2)
    assert error / np.sum((found - given.BATTING_LATER) ** 2) == pytest.approx(3.535, abs=5e-3)


def test_rat_tumours_by_moments() -> None:
    """S-B5: Bayesian Data Analysis, sec. 5.1: Beta(1.4, 8.6), current group 0.223 (MEM+)."""
    earlier = given.RAT_HITS[:-1] / given.RAT_TOTALS[:-1]
    assert (len(earlier), earlier.mean()) == (70, pytest.approx(0.1360065, abs=5e-8))
    assert earlier.std(ddof=1) == pytest.approx(0.1034923, abs=5e-8)
    prior = shrinkage.prior_by_moments(earlier)
    assert (prior.hits, prior.misses) == pytest.approx((1.356149, 8.615058), abs=5e-7)
    assert (prior.hits, prior.misses) == pytest.approx((1.4, 8.6), abs=0.05)
    assert prior.mean_of(4, 14) == pytest.approx(0.223441, abs=5e-7)


def test_rat_tumours_by_likelihood() -> None:
    """S-B5: marginal maximum over all 71 groups (root of the score equations, RUN-PY)."""
    prior = shrinkage.fit_prior(given.RAT_HITS, given.RAT_TOTALS)
    assert prior.hits == pytest.approx(2.3416144, abs=5e-7)
    assert prior.misses == pytest.approx(14.1148043, abs=5e-6)
    found = shrinkage.log_likelihood(prior, given.RAT_HITS, given.RAT_TOTALS)
    assert found == pytest.approx(-730.3384545244, abs=1e-9)


def test_groups_alike_but_for_chance_share_one_rate() -> None:
    hits, totals = np.array([10, 21, 30, 39]), np.array([100, 200, 300, 400])
    prior = shrinkage.fit_prior(hits, totals)
    assert prior.hits + prior.misses == pytest.approx(shrinkage.MOST_COUNT)
    assert prior.mean_of(10, 100) == pytest.approx(0.1, abs=1e-4)


def test_a_known_prior_is_recovered_and_its_intervals_cover() -> None:
    """2,000 groups from Beta(3, 57): mean within 3 %, width within 15 %; 95 % ends hold 93–97 %."""
    rng = np.random.default_rng(3)
    truth, totals = rng.beta(3.0, 57.0, 2000), rng.integers(5, 120, 2000)
    hits = rng.binomial(totals, truth)
    prior = shrinkage.fit_prior(hits, totals)
    assert prior.mean == pytest.approx(0.05, rel=0.03)
    assert prior.hits + prior.misses == pytest.approx(60.0, rel=0.15)
    low, high = prior.interval_of(hits, totals)
    assert 0.93 < np.mean((low <= truth) & (truth <= high)) < 0.97


def test_nothing_to_learn_from_is_told() -> None:
    with pytest.raises(NotEnoughDataError):
        shrinkage.prior_by_moments([0.1, 0.1])
    with pytest.raises(NotEnoughDataError):
        shrinkage.fit_prior([0, 0], [10, 20])
    with pytest.raises(NotEnoughDataError):
        shrinkage.james_stein([0.1, 0.2, 0.3], 0.01)


def test_every_small_table_has_a_prior() -> None:
    """Rare hits in few groups, where the likelihood is flat or runs to an end: still an answer."""
    rng = np.random.default_rng(8)
    for _ in range(300):
        size = int(rng.integers(2, 14))
        totals = rng.integers(1, 300, size)
        hits = rng.binomial(totals, rng.choice([0.004, 0.012, 0.3], size))
        if 0 < hits.sum() < totals.sum():
            prior = shrinkage.fit_prior(hits, totals)
            low, high = prior.interval_of(hits, totals)
            assert np.all(
                (low <= prior.mean_of(hits, totals)) & (prior.mean_of(hits, totals) <= high)
            )
