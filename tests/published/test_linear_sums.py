"""Certified sums and straight lines, with the store's own sums (`fsum`, centred, two passes)."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pandas as pd
import pytest

from analytics.warehouse import Warehouse, open_store
from tests.published import tables


@pytest.fixture(scope="module")
def store() -> Iterator[Warehouse]:
    with open_store() as opened:
        yield opened


def products(store: Warehouse, terms: dict[str, np.ndarray]) -> pd.DataFrame:
    """Return `checks.centred_products` of the terms, by (term, other_term)."""
    wide = pd.DataFrame(terms).rename_axis("row_id").reset_index()
    store.register("checked_value", wide.melt("row_id", var_name="term", value_name="value"))
    try:
        return store.frame("checks.centred_products").set_index(["term", "other_term"])
    finally:
        store.unregister("checked_value")


def regression(
    store: Warehouse, response: np.ndarray, regressors: dict[str, np.ndarray]
) -> tuple[np.ndarray, np.ndarray, float, float]:
    """Return coefficients and errors (intercept first), residual sd and R² from SQL's sums."""
    table = products(store, {"y": response, **regressors})
    names = list(regressors)
    correlation = np.array([[table.correlation[a, b] for b in names] for a in names])
    with_y = np.array([table.correlation[a, "y"] for a in names])
    norm, mean = (np.array([table[c][a, a] for a in names]) for c in ("norm", "mean"))
    norm_y, mean_y = table.norm["y", "y"], table["mean"]["y", "y"]
    inverse = np.linalg.inv(correlation)
    inverse = inverse @ (2 * np.eye(len(names)) - correlation @ inverse)
    slopes = inverse @ with_y * norm_y / norm
    intercept = mean_y - slopes @ mean
    residual = response - intercept - np.column_stack(list(regressors.values())) @ slopes
    rows = len(response)
    spread = np.sqrt(residual @ residual / (rows - len(names) - 1))
    covariance = inverse / np.outer(norm, norm)
    errors = spread * np.sqrt(np.append(1 / rows + mean @ covariance @ mean, np.diag(covariance)))
    explained = 1 - residual @ residual / norm_y**2
    return np.append(intercept, slopes), errors, float(spread), float(explained)


@pytest.mark.parametrize(
    ("order", "mean", "sd", "tolerance"),
    [
        (1, 10_000_002.0, 1.0, 1e-12),
        (2, 1.2, 0.1, 1e-12),
        (3, 1_000_000.2, 0.1, 1e-8),
        (4, 10_000_000.2, 0.1, 1e-7),
    ],
)
def test_mean_and_spread(
    store: Warehouse, order: int, mean: float, sd: float, tolerance: float
) -> None:
    # NIST StRD, NumAcc1 to NumAcc4 (from memory, recomputed).
    values = tables.numacc(order)
    row = products(store, {"v": values}).iloc[0]
    assert row["mean"] == pytest.approx(mean, rel=1e-14)
    assert row["norm"] / np.sqrt(len(values) - 1) == pytest.approx(sd, rel=tolerance)


def test_the_textbook_variance_fails(store: Warehouse) -> None:
    # NumAcc3 by sum(v²) − sum(v)²/n is off by 7 %: the reason for centred sums.
    store.register("checked_value", pd.DataFrame({"v": tables.numacc(3)}))
    try:
        found = store.fetch("select (sum(v*v) - sum(v)*sum(v)/count(*)) / 1000 from checked_value")
    finally:
        store.unregister("checked_value")
    assert np.sqrt(found[0][0]) != pytest.approx(0.1, rel=0.01)


def test_line_of_norris(store: Warehouse) -> None:
    # NIST StRD, Norris (published).
    x, y = tables.norris()
    beta, errors, spread, explained = regression(store, y, {"x": x})
    assert beta == pytest.approx([-0.262323073774029, 1.00211681802045], rel=1e-9)
    assert errors == pytest.approx([0.232818234301152, 0.429796848199937e-3], rel=1e-9)
    assert spread == pytest.approx(0.884796396144373, rel=1e-9)
    assert explained == pytest.approx(0.999993745883712, rel=1e-12)


def test_parabola_of_pontius(store: Warehouse) -> None:
    # NIST StRD, Pontius (from memory, recomputed); loads in units of 3e6.
    x = tables.PONTIUS_X / 3e6
    beta, errors, spread, _ = regression(store, tables.PONTIUS_Y, {"x": x, "x2": x**2})
    scale = np.array([1, 3e6, 9e12])
    certified = [0.673565789473684e-3, 0.732059160401003e-6, -0.316081871345029e-14]
    assert beta / scale == pytest.approx(certified, rel=1e-8)
    certified = [0.107938612033077e-3, 0.157817399981659e-9, 0.486652849992036e-16]
    assert errors / scale == pytest.approx(certified, rel=1e-8)
    assert spread == pytest.approx(0.205177424076185e-3, rel=1e-8)


def test_longley(store: Warehouse) -> None:
    # NIST StRD, Longley (from memory, recomputed).
    import statsmodels.datasets.longley as longley

    data = longley.load_pandas()
    columns = {name: data.exog[name].to_numpy(dtype=float) for name in data.exog}
    beta, errors, spread, explained = regression(store, data.endog.to_numpy(dtype=float), columns)
    certified = [-3482258.63459582, 15.0618722713733, -0.0358191792925910, -2.02022980381683]
    certified += [-1.03322686717359, -0.0511041056535807, 1829.15146461355]
    assert beta == pytest.approx(certified, rel=1e-7)
    certified = [890420.383607373, 84.9149257747669, 0.0334910077722432, 0.488399681651699]
    certified += [0.214274163161675, 0.226073200069370, 455.478499142212]
    assert errors == pytest.approx(certified, rel=1e-7)
    assert spread == pytest.approx(304.854073561965, rel=1e-9)
    assert explained == pytest.approx(0.995479004577296, rel=1e-12)


def test_the_raw_normal_equations_lose_what_the_scaled_ones_keep() -> None:
    # Longley by X'X as it stands keeps some 7 digits or fewer, standardised some 11 (recomputed).
    import statsmodels.datasets.longley as longley

    data = longley.load_pandas()
    design = np.column_stack([np.ones(len(data.exog)), data.exog.to_numpy(dtype=float)])
    raw = np.linalg.solve(design.T @ design, design.T @ data.endog.to_numpy(dtype=float))
    assert abs(raw[1] / 15.0618722713733 - 1) > 1e-9


def test_same_sums_every_time(store: Warehouse) -> None:
    # `fsum` does not depend on the order in which threads add.
    generator = np.random.default_rng(9)
    terms = {"a": generator.normal(size=50_000), "b": generator.lognormal(size=50_000)}
    first = products(store, terms)
    assert all(first.equals(products(store, terms)) for _ in range(2))
