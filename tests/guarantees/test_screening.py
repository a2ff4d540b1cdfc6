"""The whole way on a fleet from another physics: file in, verdicts out, judged by the truth."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from analytics.baseline import fit
from analytics.ingest.load import ingest
from analytics.screening import screen
from analytics.warehouse import open_store
from tests.benchmarks.fleets import balance
from tests.guarantees.scoring import coverage, score, uncovered
from tests.guarantees.transient_fleet import Fleet, simulate, write_csv

PANELS, SEED = 500, 11


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory) -> tuple[Fleet, pd.DataFrame]:
    folder: Path = tmp_path_factory.mktemp("fleet")
    fleet = simulate(PANELS, SEED, fault_share=0.03)
    write_csv(fleet, folder / "readings.csv")
    with open_store(folder / "fleet.duckdb") as warehouse:
        ingest(warehouse, [folder / "readings.csv"])
        fit(warehouse)
        screen(warehouse)
        return fleet, warehouse.frame("marts.export_screening")


@pytest.fixture(scope="module")
def result(judged: tuple[Fleet, pd.DataFrame]) -> dict[str, object]:
    fleet, export = judged
    return score(export, fleet.truth)


def test_it_beats_every_reference(result: dict) -> None:
    assert result["ratios"]["to_best_reference"] >= 1.1


def test_healthy_intervals_cover(judged: tuple[Fleet, pd.DataFrame]) -> None:
    fleet, export = judged
    truth = fleet.truth.assign(position=fleet.truth["position"].astype(int))
    keys = ["inspection_id", "panel_id", "position"]
    rows = export.merge(truth[[*keys, "has_fault", "clerical_error", "observed_rise_k"]], on=keys)
    healthy = rows[~rows["has_fault"] & (rows["clerical_error"] == "") & rows["lower_k"].notna()]
    inside = (healthy["rise_k"] >= healthy["lower_k"]) & (healthy["rise_k"] <= healthy["upper_k"])
    assert 0.935 <= inside.mean() <= 0.965


def test_healthy_intervals_cover_in_every_class_and_load_band(result: dict) -> None:
    table = pd.DataFrame(result["coverage"])
    assert len(table) >= 6
    assert not uncovered(result["coverage"]), table.to_string()


def test_they_cover_in_the_fleet_of_the_other_generator(tmp_path: Path) -> None:
    cells = coverage(balance(400, 101, tmp_path).rows)
    table = pd.DataFrame(cells)
    assert len(table) >= 6
    assert not uncovered(cells), table.to_string()


def test_slips_are_put_aside_and_good_rows_are_not(result: dict) -> None:
    shares = {name: value["share"] for name, value in result["confusions"].items()}
    assert shares["material_slip_put_aside"] >= 0.93
    assert shares["good_row_put_aside"] <= 0.01
    assert shares["pure_overload_called_suspect"] <= 0.03


def test_ranks_of_healthy_rows_are_flat(judged: tuple[Fleet, pd.DataFrame]) -> None:
    fleet, export = judged
    truth = fleet.truth.assign(position=fleet.truth["position"].astype(int))
    keys = ["inspection_id", "panel_id", "position"]
    rows = export.merge(truth[[*keys, "has_fault", "clerical_error"]], on=keys)
    healthy = rows[~rows["has_fault"] & (rows["clerical_error"] == "") & rows["p_value"].notna()]
    shares = np.histogram(healthy["p_value"], bins=5, range=(0, 1))[0] / len(healthy)
    assert np.all(np.abs(shares - 0.2) < 0.04), shares
