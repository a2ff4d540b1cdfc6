"""Planted numbers come back within their intervals, and faults do not teach the baseline."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from analytics.baseline import fit
from analytics.ingest.load import ingest
from analytics.screening import screen
from analytics.warehouse import open_store
from tests.guarantees import planted_fleet as planted

PANELS = 40
SEEDS = range(6)


def _fitted(folder: Path, seed: int, fault_share: float) -> pd.DataFrame:
    sheet = planted.write(planted.draw(PANELS, seed, fault_share), folder / "readings.csv")
    with open_store(folder / f"s{seed}.duckdb") as warehouse:
        ingest(warehouse, [sheet])
        summary = fit(warehouse)
        rows = warehouse.fetch(
            "select device_class, offset_k, offset_k_se, gain_k, gain_k_se from "
            "baseline.group_parameter where channel = 'face' and not is_multi_pole"
        )
    names = ["device_class", "offset_k", "offset_k_se", "gain_k", "gain_k_se"]
    frame = pd.DataFrame(rows, columns=names).set_index("device_class")
    return frame.assign(exponent=summary.exponent, exponent_se=summary.exponent_error)


@pytest.fixture(scope="module")
def fits(tmp_path_factory: pytest.TempPathFactory) -> dict[float, list[pd.DataFrame]]:
    folder = tmp_path_factory.mktemp("planted")
    return {
        share: [_fitted(tmp_path_factory.mktemp(f"{folder.name}{share}"), s, share) for s in SEEDS]
        for share in (0.0, 0.1)
    }


def test_the_planted_exponent_lies_in_its_interval(fits: dict) -> None:
    hits = [
        abs(f["exponent"].iloc[0] - planted.EXPONENT) <= 1.96 * f["exponent_se"].iloc[0]
        for f in fits[0.0]
    ]
    # 95 % intervals over 6 seeds: 5 or more in 96.7 % of all runs (binomial).
    assert sum(hits) >= 5


@pytest.mark.parametrize("name", sorted(planted.GAINS_K))
def test_planted_gains_lie_in_their_intervals(fits: dict, name: str) -> None:
    # The gain's interval holds the exponent fixed, so the exponent's part is added.
    log_load = 0.35
    hits = []
    for f in fits[0.0]:
        row = f.loc[name]
        spread = np.hypot(row["gain_k_se"], row["gain_k"] * log_load * row["exponent_se"])
        hits.append(abs(row["gain_k"] - planted.GAINS_K[name]) <= 1.96 * spread)
    assert sum(hits) >= 5


@pytest.mark.parametrize("name", ["afci", "gfci"])
def test_planted_offsets_come_back_over_the_standard_one(fits: dict, name: str) -> None:
    # Only the difference is told from the panels' air, which the floor carries.
    found = [f.loc[name, "offset_k"] - f.loc["standard", "offset_k"] for f in fits[0.0]]
    assert np.mean(found) == pytest.approx(planted.OFFSETS_K[name], abs=0.4)
    assert np.max(np.abs(np.array(found) - planted.OFFSETS_K[name])) < 1.5


def test_one_fault_in_ten_moves_nothing_much(fits: dict) -> None:
    """Every tenth device twice as hot for its load moves a gain less than half its spread."""
    for name in planted.GAINS_K:
        clean = np.array([f.loc[name, "gain_k"] for f in fits[0.0]])
        mixed = np.array([f.loc[name, "gain_k"] for f in fits[0.1]])
        assert abs(np.mean(mixed - clean)) < 0.5 * planted.NOISE_SHARE * planted.GAINS_K[name]
    shift = np.mean([m["exponent"].iloc[0] - c["exponent"].iloc[0] for m, c in _pairs(fits)])
    assert abs(shift) < 0.5 * np.std([f["exponent"].iloc[0] for f in fits[0.0]]) + 0.02


def test_one_fault_in_ten_moves_coefficients_less_than_half_a_standard_error(fits: dict) -> None:
    """What it moves on average over the fleets; within one, a tenth fewer healthy rows show too.

    Root mean square over offsets, gains and the exponent; none of them by a whole one.
    """
    moved = np.array([np.mean(shift) for shift in _shifts(fits).values()])
    assert np.sqrt(np.mean(moved**2)) < 0.5, moved
    assert np.max(np.abs(moved)) < 1.0, moved


def _shifts(fits: dict) -> dict[str, list[float]]:
    """Return by coefficient what the faults moved in each fleet, in standard errors."""
    out: dict[str, list[float]] = {}
    for mixed, clean in _pairs(fits):
        for name in planted.GAINS_K:
            for part in ("offset_k", "gain_k"):
                shift = mixed.loc[name, part] - clean.loc[name, part]
                out.setdefault(f"{name} {part}", []).append(shift / clean.loc[name, f"{part}_se"])
        shift = (mixed["exponent"] - clean["exponent"]).iloc[0]
        out.setdefault("exponent", []).append(shift / clean["exponent_se"].iloc[0])
    return out


def _pairs(fits: dict) -> list[tuple[pd.DataFrame, pd.DataFrame]]:
    return list(zip(fits[0.1], fits[0.0], strict=True))


def test_p_values_of_a_clean_fleet_are_uniform_and_discoveries_rare(tmp_path: Path) -> None:
    sheet = planted.write(planted.draw(300, 77), tmp_path / "readings.csv")
    with open_store(tmp_path / "clean.duckdb") as warehouse:
        ingest(warehouse, [sheet])
        fit(warehouse)
        screen(warehouse)
        rows = warehouse.frame("marts.export_screening")
    p = rows["p_value"].dropna()
    shares = np.histogram(p, bins=10, range=(0, 1))[0] / len(p)
    assert np.all(np.abs(shares - 0.1) < 0.015), shares
    assert (rows["q_value"] <= 0.1).mean() < 0.001
    suspects = rows["verdict"].isin(["suspect_connection", "overload_and_connection"])
    assert suspects.mean() < 0.004
    inside = rows["rise_k"].between(rows["lower_k"], rows["upper_k"])[rows["lower_k"].notna()]
    assert 0.935 <= inside.mean() <= 0.965
