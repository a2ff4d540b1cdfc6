"""Conformal ranks: exact by counting."""

from __future__ import annotations

import numpy as np
import pytest

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics import conformal


def test_p_value_counts() -> None:
    # (1 + #{calibration ≥ score}) / (n + 1): V. Vovk et al. 2005 (from memory), recomputed.
    generator = np.random.default_rng(7)
    calibration, scores = generator.normal(size=200).round(1), generator.normal(size=300).round(1)
    counted = [(1 + np.sum(calibration >= score)) / 201 for score in scores]
    assert conformal.p_values(calibration, scores).tolist() == counted


def test_p_value_is_uniform_for_exchangeable_scores() -> None:
    # Of n + 1 exchangeable scores each rank is equally likely: leave each out in turn.
    scores = np.random.default_rng(3).permutation(20) + 0.5
    found = [conformal.p_values(np.delete(scores, i), scores[i]).item() for i in range(20)]
    assert sorted(found) == pytest.approx([k / 20 for k in range(1, 21)])


def test_limit_rank_survives_rounding() -> None:
    # ⌈(n + 1)(1 − a)⌉: 180 of 199 at a = 0.1, where 0.9·200 in floating point can give 181.
    assert conformal.limit_rank(199, 0.1) == 180
    for count in range(9, 2000):
        exact = -(-(count + 1) * 9 // 10)
        assert conformal.limit_rank(count, 0.1) == exact


def test_limit_is_infinite_with_too_few_scores() -> None:
    assert conformal.upper_limit(range(1, 9), 0.1) == float("inf")
    assert conformal.upper_limit(range(1, 10), 0.1) == 9.0


@pytest.mark.parametrize(
    ("count", "mean", "sd", "low", "high"),
    [
        (9, 0.9, 0.09045, None, None),
        (99, 0.9, 0.029851, 0.84672, 0.94417),
        (999, 0.9, 0.0094821, 0.88396, 0.91513),
        (1000, 0.9000999, None, None, None),
    ],
)
def test_law_of_coverage(
    count: int, mean: float, sd: float | None, low: float | None, high: float | None
) -> None:
    # Beta(n + 1 − l, l), l = ⌊(n + 1) a⌋: V. Vovk 2012 (from memory), recomputed.
    law = conformal.coverage_law(count, 0.1)
    assert law.mean == pytest.approx(mean, abs=5e-8)
    if sd is not None:
        assert law.sd == pytest.approx(sd, rel=5e-5)
    if low is not None:
        assert law.quantile(0.05) == pytest.approx(low, abs=5e-6)
        assert law.quantile(0.95) == pytest.approx(high, abs=5e-6)


def test_p_values_are_uniform_on_their_grid() -> None:
    # 4,000 draws of 19 calibration scores and one new: chi-square on the twenty points.
    from scipy.stats import chisquare

    draws = np.random.default_rng(20240601).normal(size=(4000, 20))
    found = [conformal.p_values(draw[:19], draw[19]).item() for draw in draws]
    counts = np.bincount(np.round(np.array(found) * 20).astype(int), minlength=21)[1:]
    assert chisquare(counts).pvalue > 0.001


def test_missing_scores() -> None:
    assert np.isnan(conformal.p_values([1.0, 2.0], [np.nan])).all()
    with pytest.raises(UsageError, match="NaN"):
        conformal.p_values([1.0, np.nan], [1.0])
    with pytest.raises(NotEnoughDataError):
        conformal.p_values([], [1.0])
    with pytest.raises(NotEnoughDataError, match="At least 9"):
        conformal.coverage_law(8, 0.1)
    with pytest.raises(UsageError):
        conformal.limit_rank(10, 0.0)


def test_p_values_of_another_library() -> None:
    # crepes without smoothing counts (1 + #{calibration ≥ score}) / (n + 1), to the bit.
    crepes = pytest.importorskip("crepes", reason="a peer to compare with, not needed")
    generator = np.random.default_rng(19)
    calibration, scores = generator.normal(size=199), generator.normal(size=2000)
    peer = crepes.ConformalClassifier().fit(calibration, seed=1)
    found = peer.predict_p(scores.reshape(-1, 1), smoothing=False)[:, 0]
    assert conformal.p_values(calibration, scores).tolist() == found.tolist()


def test_half_width_of_another_library() -> None:
    # MAPIE's split interval at 90 % of 199 residuals is the 180th of them.
    regression = pytest.importorskip("mapie.regression", reason="a peer to compare with")
    from sklearn.dummy import DummyRegressor

    residual = np.abs(np.random.default_rng(23).normal(size=199))
    at = np.zeros((199, 1))
    model = DummyRegressor(strategy="constant", constant=0.0).fit(at, residual)
    peer = regression.SplitConformalRegressor(model, confidence_level=0.9, prefit=True)
    _, limits = peer.conformalize(at, residual).predict_interval(at[:1])
    assert limits[0, 1, 0] == pytest.approx(conformal.upper_limit(residual, 0.1), rel=1e-15)
    assert conformal.upper_limit(residual, 0.1) == np.sort(residual)[179]
