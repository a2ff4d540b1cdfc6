"""The transient simulator keeps its own books: energy, repeatability, no lift without a fault."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from tests.guarantees import transient_fleet as fleet_module
from tests.guarantees.scoring import (
    average_precision,
    confusions,
    coverage,
    join,
    report,
    score,
)
from tests.guarantees.transient_fleet import KEYS, MATERIAL_K, simulate
from tests.guarantees.transient_parts import run, settle, step


@pytest.fixture(scope="module")
def world():
    return fleet_module._draw_world(12, 5, 0.2, 0.0)


def test_energy_is_conserved(world):
    """First law: heat taken in = heat given to room and wall + heat stored."""
    start = settle(world.network, world.schedule.mean_before_a())
    _, ledger = run(world.network, world.schedule, start)
    gap = ledger.taken_j - ledger.given_j - ledger.stored_j
    assert (ledger.taken_j > 1000.0).all()
    assert np.abs(gap / ledger.taken_j).max() < 1e-6


def test_settled_state_stands_still(world):
    """What starts as steady does not move by more than 0.2 K in ten minutes."""
    current = world.schedule.mean_before_a()
    state = settle(world.network, current)
    later = state
    for _ in range(30):
        later, _, _ = step(world.network, later, current, world.network.leak_closed)
    assert np.abs(later.body - state.body).max() < 0.2


def test_halving_the_step_changes_little(world):
    """The explicit step is short enough: steps of half the length agree within 0.1 K."""
    net, amps = world.network, world.schedule.now_a
    coarse = fine = settle(net, world.schedule.mean_before_a())
    for _ in range(90):
        coarse, _, _ = step(net, coarse, amps, net.leak_open, 20.0)
        fine, _, _ = step(net, fine, amps, net.leak_open, 10.0)
        fine, _, _ = step(net, fine, amps, net.leak_open, 10.0)
    for name in ("body", "term", "wire", "air"):
        assert np.abs(getattr(fine, name) - getattr(coarse, name)).max() < 0.1


def test_same_seed_same_frame():
    one, two, other = simulate(30, 7), simulate(30, 7), simulate(30, 8)
    for name in ("readings", "findings", "truth"):
        pd.testing.assert_frame_equal(getattr(one, name), getattr(two, name), check_exact=True)
    assert not one.readings.equals(other.readings)


def test_no_fault_no_lift():
    truth = simulate(30, 3, fault_share=0.0).truth
    for name in ("lift_face_k", "lift_termination_k", "spill_face_k"):
        assert (truth[name] == 0.0).all()
    assert not truth["is_material"].any()


def test_faults_only_warm_and_are_marked():
    truth = simulate(60, 3, fault_share=0.1).truth
    lift = truth[["lift_face_k", "lift_termination_k"]].max(axis=1)
    assert (lift >= -1e-9).all()
    assert truth.loc[~truth["has_fault"], "is_material"].sum() == 0
    assert (truth.loc[truth["is_material"], "has_fault"]).all()
    assert (lift[truth["is_material"]] >= MATERIAL_K).all()
    assert truth["is_material"].sum() >= 20


def test_keys_and_slips():
    fleet = simulate(60, 4)
    assert not fleet.truth.duplicated(KEYS).any()
    extra = len(fleet.readings) - len(fleet.truth)
    assert extra == fleet.truth["is_duplicated"].sum() > 0
    wrong = (fleet.truth["clerical_error"] != "").sum() + extra
    assert wrong == pytest.approx(0.015 * len(fleet.truth), abs=1)


def test_camera_drift_moves_only_that_camera_from_that_quarter():
    base, drifted = simulate(60, 4), simulate(60, 4, camera_drift={"C03": (4, 3.0)})
    moved = drifted.truth["observed_rise_k"] - base.truth["observed_rise_k"]
    late = drifted.readings["inspected_at"].iloc[: len(moved)].astype(str).str[:4] == "2025"
    third = (base.truth["camera_id"] == "C03").to_numpy()
    late = late.to_numpy() & (base.truth["clerical_error"] == "").to_numpy()
    assert moved[third & late].to_numpy() == pytest.approx(3.0, abs=1e-6)
    assert moved[~third].to_numpy() == pytest.approx(0.0, abs=1e-12)


def _perfect_export(truth: pd.DataFrame) -> pd.DataFrame:
    lift = truth[["lift_face_k", "lift_termination_k"]].max(axis=1)
    kept = truth.assign(score=lift, verdict=np.where(lift >= MATERIAL_K, "suspect_connection", ""))
    half = 1.96 * kept["oracle_sd_k"]
    kept = kept.assign(
        probability=np.where(kept["is_material"], 0.9, 0.01),
        p_value=0.5,
        rise_k=kept["healthy_rise_k"] + np.where(np.arange(len(kept)) % 20 == 0, 9.0, 0.0) * half,
        load_fraction=kept["observed_load_fraction"],
        expected_rise_k=kept["healthy_rise_k"],
        lower_k=kept["healthy_rise_k"] - half,
        upper_k=kept["healthy_rise_k"] + half,
    )
    return kept[kept["clerical_error"] == ""]


def test_scoring_knows_a_perfect_export():
    truth = simulate(250, 6, fault_share=0.08).truth
    rows = join(_perfect_export(truth), truth)
    judged = rows[rows["is_judgeable"]]
    own = average_precision(judged["is_material"], judged["score"])
    assert own == pytest.approx(1.0, abs=1e-12)
    shares = {name: value["share"] for name, value in confusions(rows).items()}
    assert shares["material_slip_put_aside"] == shares["material_fault_called_suspect"] == 1.0
    assert shares["good_row_put_aside"] == shares["pure_overload_called_suspect"] == 0.0
    cells = coverage(rows)
    assert len(cells) >= 2
    assert all(cell["rows"] >= 200 for cell in cells)
    assert [cell["covered"] for cell in cells] == pytest.approx([0.95] * len(cells), abs=0.04)
    assert [cell["width_to_oracle"] for cell in cells] == pytest.approx([1.0] * len(cells))


def test_scoring_sees_a_blind_export():
    truth = simulate(40, 6, fault_share=0.08).truth
    blind = _perfect_export(truth).assign(score=0.0, verdict="normal")
    result = score(blind, truth)
    material = truth[truth["is_judgeable"]]["is_material"].mean()
    assert result["average_precision"]["score"]["judgeable"] == pytest.approx(material)
    assert result["ratios"]["to_best_reference"] < 1.0
    assert result["confusions"]["material_fault_called_suspect"]["share"] == 0.0
    assert "average precision" in report(result)
