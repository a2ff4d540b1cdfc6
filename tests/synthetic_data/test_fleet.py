"""What is simulated: canonical columns, layout, loads, faults, planted changes, selection."""

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from analytics.columns import DEVICE_CLASSES, FINDINGS, PANEL_LOCATIONS
from synthetic_data import load, simulate
from synthetic_data.faults import rates
from synthetic_data.fleet import COPPER_AWG
from synthetic_data.observe import camera_names, camera_offsets
from synthetic_data.world import COLUMNS

KEY = ["inspection_id", "panel_id", "position"]


@pytest.fixture(scope="module")
def demo():
    """1,200 visits of the demonstration fleet: readings, findings, truth."""
    return simulate(load("demo", inspections=1200), 11)


def joined(demo) -> pd.DataFrame:
    readings, _, truth = demo
    return pd.concat([readings, truth.drop(columns=KEY)], axis=1)


def test_columns_and_words_are_canonical(demo):
    readings, findings, truth = demo
    assert tuple(readings.columns) == COLUMNS
    assert set(readings["device_class"]) == set(DEVICE_CLASSES)
    assert set(readings["panel_location"]) <= set(PANEL_LOCATIONS)
    assert set(findings["finding"]) <= set(FINDINGS)
    assert set(readings["temp_unit"]) == {"degC"}
    assert readings[KEY].equals(truth[KEY])


def test_one_row_a_device_in_order_of_position(demo):
    readings, findings, _ = demo
    assert not readings.duplicated(KEY).any()
    assert not findings.duplicated(KEY).any()
    assert len(findings.merge(readings, on=KEY)) == len(findings)
    order = readings.groupby(["inspection_id", "panel_id"])["position"]
    assert order.apply(lambda p: p.is_monotonic_increasing).all()
    assert (order.min() == 0).all()


def test_a_two_pole_device_takes_its_slot_and_the_one_below(demo):
    readings, _, _ = demo
    two = readings[(readings["poles"] == 2) & (readings["position"] > 0)]
    below = two.assign(position=two["position"] + 2)
    assert len(two) > 1000
    assert below.merge(readings, on=KEY).empty
    mains = readings[readings["position"] == 0]
    assert set(mains["device_class"]) == {"main"}


def test_panels_have_between_10_and_40_slots(demo):
    readings, _, _ = demo
    last = readings["position"] + np.where(readings["poles"] == 2, 2, 0) * (
        readings["position"] > 0
    )
    assert last.max() <= 40
    assert last.groupby(readings["panel_id"]).max().min() <= 12


def test_a_house_keeps_its_devices_from_visit_to_visit(demo):
    readings, _, _ = demo
    same = readings.groupby(["panel_id", "position"])
    assert (same[["device_class", "make", "rated_a"]].nunique() == 1).all().all()
    visits = readings.groupby("panel_id")["inspection_id"].nunique()
    assert 0.06 < (visits - 1).sum() / readings["inspection_id"].nunique() < 0.15
    assert (readings.groupby("site_id")["office_id"].nunique() == 1).all()


def test_wires_carry_their_breakers(demo):
    """NEC 2023 240.4(D) and Table 310.16: 14 AWG 15 A, 12 AWG 20 A, 10 AWG 30 A."""
    readings, _, _ = demo
    small = readings[readings["conductor_awg"].isin(["14", "12", "10"])]
    most = small["conductor_awg"].map({"14": 15, "12": 20, "10": 30})
    assert (small["rated_a"] <= most).all()
    assert set(readings.loc[readings["position"] > 0, "rated_a"]) <= set(COPPER_AWG)


def test_the_main_carries_its_legs(demo):
    both = joined(demo)
    branch = both[both["position"] > 0]
    total = branch.groupby(["inspection_id", "panel_id"])["true_current_a"].sum()
    main = both[both["position"] == 0].set_index(["inspection_id", "panel_id"])["true_current_a"]
    assert (main <= total.reindex(main.index) + 1e-9).all()
    assert (main >= 0.5 * total.reindex(main.index) - 1e-9).all()


def test_many_idle_few_overloaded(demo):
    _, _, truth = demo
    fraction = truth["true_load_fraction"]
    assert 0.35 < (fraction < 0.05).mean() < 0.65
    assert 0.2 < fraction.between(0.1, 0.6).mean() < 0.6
    assert 0.005 < truth["is_overload"].mean() < 0.03
    assert (truth.loc[truth["is_overload"], "true_load_fraction"] > 0.8).all()


def test_faults_run_from_invisible_to_severe_and_need_current(demo):
    _, _, truth = demo
    faulty = truth[truth["truth"] != "healthy"]
    lift = faulty[["lift_face_k", "lift_termination_k"]].max(axis=1)
    assert (lift < 0.5).mean() > 0.2
    assert (lift > 3.0).mean() > 0.15
    assert lift.max() > 20.0
    assert lift[faulty["true_load_fraction"] < 0.01].max() < 1.0
    loose = faulty[(faulty["truth"] == "loose_connection") & (lift > 3.0)]
    assert (loose["lift_termination_k"] > loose["lift_face_k"]).all()
    healthy = truth[truth["truth"] == "healthy"]
    assert (healthy[["lift_face_k", "lift_termination_k"]] == 0.0).all().all()


def test_warm_devices_get_clamped(demo):
    both = joined(demo)
    is_clamped = both["current_a"].notna()
    careful = both[~both["is_hasty"] & (both["position"] > 0)]
    share = is_clamped[careful.index].groupby(careful["warmth_k"] > 6.0).mean()
    assert share[True] > 0.8 > 0.5 > share[False] > 0.05
    assert both["termination_temp"].notna().mean() > 0.03
    assert both.loc[both["termination_temp"].notna(), "current_a"].notna().all()


def test_clamps_stay_within_their_class(demo):
    """Clamp ±(2 % + 5 digits), a usual data-sheet class, taken as two sigma."""
    both = joined(demo)
    rows = both[both["current_a"].notna() & ~both["is_one_leg"] & (both["true_current_a"] > 2.0)]
    error = (rows["current_a"] - rows["true_current_a"]).abs()
    limit = 0.02 * rows["true_current_a"] + 0.5
    assert 0.93 < (error <= limit).mean() < 0.975


def test_examined_shares(demo):
    """About 70 % of what was referred by feel and 3 % of the rest get examined."""
    _, findings, truth = demo
    seen = truth.merge(findings, on=KEY, how="left", validate="one_to_one")
    is_examined = seen["finding"].notna()
    assert is_examined[seen["warmth_k"] > 25.0].mean() == pytest.approx(0.7, abs=0.06)
    assert is_examined[seen["warmth_k"] < 8.0].mean() == pytest.approx(0.03, abs=0.006)


def test_the_planted_camera_drifts_by_its_kelvins():
    scenario = load("demo")
    steady = replace(scenario, planted=replace(scenario.planted, camera_shifts=()))
    shifted, plain = (camera_offsets(s, np.random.default_rng(1)) for s in (scenario, steady))
    moved = shifted - plain
    camera = camera_names(scenario).index("cam-north-3")
    quarters = [scenario.quarters.index(q) for q in ("2025Q2", "2025Q3")]
    assert np.flatnonzero(moved.any(axis=1)).tolist() == [camera]
    assert np.flatnonzero(moved[camera]).tolist() == quarters
    assert moved[camera, quarters] == pytest.approx([3.0, 3.0])


def test_the_planted_rise_is_half_in_the_last_three_quarters():
    by_quarter = rates(load("demo"))
    assert by_quarter[-3:] == pytest.approx(1.5 * by_quarter[:-3].max())
    assert len(set(by_quarter[:-3])) == 1
    assert len(set(rates(load("steady")))) == 1


def test_the_hasty_inspector_and_the_late_make(demo):
    both = joined(demo)
    hasty = both[both["is_hasty"]]
    assert set(hasty["inspector_id"]) == {"lake-2"}
    assert hasty["quarter"].min() == "2024Q4"
    assert set(hasty["ambient_temp"]) == {21.0}
    assert hasty["true_load_minutes"].max() < 8.0
    assert hasty["current_a"].notna().mean() < 0.5 * both["current_a"].notna().mean()
    late = both[both["make"] == "Tamridge"]
    assert late["quarter"].min() == "2025Q4"
    assert late["panel_id"].nunique() > 10
