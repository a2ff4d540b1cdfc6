"""A large fit, begun on a lot of its visits, ends where all rows from the start lead."""

from __future__ import annotations

import numpy as np
import pytest

from analytics.baseline import equations as eq
from analytics.baseline import whole
from analytics.baseline.fit import Fitted, prepare, vector
from analytics.baseline.measures import prepare_measures
from analytics.settings import BaselineSettings
from analytics.warehouse import open_store
from tests.benchmarks.stages import ROWS

READINGS, LOT_ROWS = 20_000, 8_000
SETTINGS = BaselineSettings()


def _fitted(lot_rows: int | None = None) -> Fitted:
    """Fit all rows from the start, or as a large store is fitted: on a lot of them first."""
    with open_store() as warehouse, pytest.MonkeyPatch.context() as patch:
        if lot_rows:
            patch.setattr(whole, "PLAIN_ROWS", 0)
            patch.setattr(whole, "LOT_ROWS", lot_rows)
        with warehouse.transaction():
            warehouse.execute(ROWS.read_text(encoding="utf-8"), {"rows": READINGS})
        with warehouse.transaction():
            prepare_measures(warehouse, SETTINGS)
        rows, _ = prepare(warehouse, SETTINGS)
        found = whole.run(warehouse, SETTINGS)
        if lot_rows:
            taken = warehouse.fetch("select count(*) from fitting.row")[0][0]
            begun = warehouse.fetch("select count(*) from fitting.lot")[0][0]
            assert taken == rows
            assert begun == pytest.approx(lot_rows, rel=0.2)
        return found


@pytest.fixture(scope="module")
def plain() -> Fitted:
    return _fitted()


@pytest.fixture(scope="module")
def large() -> list[Fitted]:
    return [_fitted(LOT_ROWS) for _ in range(2)]


def test_it_does_not_fall_back_to_all_rows_from_the_start(
    plain: Fitted, large: list[Fitted]
) -> None:
    assert [one.history for one in large] != [plain.history] * 2
    assert large[0].history[-1].largest < SETTINGS.tolerance


def test_coefficients_agree_within_a_half_of_their_standard_errors(
    plain: Fitted, large: list[Fitted]
) -> None:
    taught = plain.groups.taught
    apart = np.abs(large[0].groups.coefficients - plain.groups.coefficients)[taught]
    assert np.max(apart / plain.groups.standard_error[taught]) < 0.5


@pytest.mark.parametrize("channel", ["face", "termination"])
def test_exponents_agree_within_a_fifth_of_their_standard_errors(
    plain: Fitted, large: list[Fitted], channel: str
) -> None:
    error = eq.exponent_error(plain.groups, plain.sums, channel, SETTINGS.exponent.sd)
    apart = large[0].groups.exponent[channel] - plain.groups.exponent[channel]
    assert abs(apart) < 0.2 * error


def test_variances_of_cameras_and_visits_agree_within_a_twentieth(
    plain: Fitted, large: list[Fitted]
) -> None:
    ours, theirs = large[0].effects.variances, plain.effects.variances
    assert ours.visit == pytest.approx(theirs.visit, rel=0.05)
    assert ours.camera == pytest.approx(theirs.camera, rel=0.05)


def test_the_same_rows_give_the_same_bits(large: list[Fitted]) -> None:
    one, two = (vector(fit.groups, fit.effects) for fit in large)
    assert one.tobytes() == two.tobytes()
