"""The load law of a plain table beside the fit itself and scipy on the same objective."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from scipy.optimize import least_squares

from analytics.baseline.whole import run
from analytics.errors import NotEnoughDataError
from analytics.settings import LEAST_NOISE_K, BaselineSettings, Held
from analytics.statistics import load_law
from analytics.statistics.load_law import LoadLaw, fit_load_law
from analytics.statistics.robust import MAD_ROUNDED, TUNING
from analytics.statistics.spread_law import fit_spread
from analytics.warehouse import Warehouse, open_store
from tests.benchmarks.law import ROWS, WEIGHT
from tests.published.plain_engine import PLAIN, Layout, lay

COUNT = 20_000
START = np.array([0.0, 30.0, 1.64])


@pytest.fixture(scope="module")
def store() -> Iterator[Warehouse]:
    """Yield a store of readings with a planted law, clamped the more often the warmer they are."""
    with open_store() as warehouse:
        warehouse.execute(ROWS.read_text(encoding="utf-8"), {"rows": COUNT})
        yield warehouse


@pytest.fixture(scope="module")
def law(store: Warehouse) -> LoadLaw:
    return fit_load_law(store, "bench_reading", weight=WEIGHT, tolerance=1e-9)


@pytest.fixture(scope="module")
def rows(store: Warehouse) -> np.ndarray:
    """Load [1], rise [K], weight [1], (rows, 3)."""
    columns = f"load_fraction::double, rise_k::double, {WEIGHT}"
    return np.array(store.fetch(f"select {columns} from bench_reading"))


def _law(found: LoadLaw) -> list[float]:
    return [found.offset_k, found.gain_k, found.exponent]


def test_scipy_finds_the_same_law(law: LoadLaw, rows: np.ndarray) -> None:
    load, rise, weight = rows.T
    spread = np.hypot(law.noise_k, law.noise_share * law.gain_k * load**law.exponent)
    tuning = TUNING["tukey"]

    def residual(at: np.ndarray) -> np.ndarray:
        return (rise - at[0] - at[1] * load ** at[2]) / spread

    def loss(z: np.ndarray) -> np.ndarray:
        k = np.maximum(1.0 - z / tuning**2, 0.0)
        return np.stack([tuning**2 / 3.0 * (1.0 - k**3), k**2, -2.0 / tuning**2 * k]) * weight

    found = least_squares(residual, START, loss=loss, x_scale="jac", xtol=1e-13, ftol=1e-15)
    assert _law(law) == pytest.approx(found.x.tolist(), abs=2e-6)


def test_the_spread_is_that_of_every_octave(law: LoadLaw, rows: np.ndarray) -> None:
    driven = law.gain_k * rows[:, 0] ** law.exponent
    size = np.abs(rows[:, 1] - law.offset_k - driven)
    band = np.maximum(np.floor(np.log2(driven / 0.5)), -1)
    parts = [band == one for one in np.unique(band)]
    noise, share = fit_spread(
        [part.sum() for part in parts],
        [np.sqrt(np.mean(driven[part] ** 2)) for part in parts],
        [np.median(size[part]) / MAD_ROUNDED for part in parts],
        LEAST_NOISE_K,
    )
    assert (law.noise_k, law.noise_share) == pytest.approx((noise, share), abs=1e-7)


def test_the_fit_finds_the_same_law(law: LoadLaw, rows: np.ndarray) -> None:
    """The fit that `loadrise fit` runs, on one group, its spread held at the law's."""
    load, rise, weight = rows.T
    held = Held(noise_k=law.noise_k, noise_share=law.noise_share)
    tunings = {"tuning": TUNING["tukey"], "huber_tuning": TUNING["huber"], "tolerance": 1e-8}
    settings = BaselineSettings(**{**vars(PLAIN), "held": held, **tunings})
    with open_store() as other:
        lay(other, rise, Layout(load=load, weights=weight))
        fitted = run(other, settings)
    found = [*fitted.groups.coefficients[0, :2].tolist(), fitted.groups.exponent["face"]]
    assert _law(law) == pytest.approx(found, abs=2e-6)


def test_planted_numbers_come_back(law: LoadLaw) -> None:
    """2 K, 28 K and 1.64 are planted; one reading in ten runs half as hot again."""
    assert law.offset_k == pytest.approx(2.0, abs=0.1)
    assert law.gain_k == pytest.approx(28.0, abs=0.5)
    assert law.exponent == pytest.approx(1.64, abs=0.05)
    assert law.rows_used == COUNT


def test_a_start_from_a_sample_ends_at_the_same_law(
    store: Warehouse, law: LoadLaw, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(load_law, "SAMPLE_ROWS", 2_000)
    fits = [fit_load_law(store, "bench_reading", weight=WEIGHT, tolerance=1e-9) for _ in range(2)]
    assert fits[0].history[0].rows == "sample"
    assert fits[0] == fits[1], "not the same twice"
    assert _law(fits[0]) == pytest.approx(_law(law), abs=1e-6)


def test_rows_without_load_are_left_out(store: Warehouse, law: LoadLaw) -> None:
    both = "(from bench_reading union all by name select 0 as load_fraction, 3 as rise_k)"
    found = fit_load_law(store, both, weight=WEIGHT, tolerance=1e-9)
    assert (found.rows_used, found.rows_left_out) == (COUNT, 1)
    assert _law(found) == pytest.approx(_law(law), abs=1e-9)


def test_one_load_gives_no_exponent(store: Warehouse) -> None:
    with pytest.raises(NotEnoughDataError):
        fit_load_law(store, "(select 0.5 as load_fraction, i % 7 as rise_k from range(99) r(i))")
