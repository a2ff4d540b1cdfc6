"""The comparison is fair to both sides: ties, missing scores, unseen panels, losses told."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from tests.benchmarks.compare import Comparison, FleetLine
from tests.benchmarks.compare_table import headline, losses
from tests.guarantees.scoring_learned import boosted, features
from tests.guarantees.scoring_ranking import hits, measures
from tests.guarantees.scoring_references import FIXED_RISE_K, action_bands, robust_lines


def _rows(count: int, **columns: object) -> pd.DataFrame:
    plain = {
        "inspection_id": [f"v{i // 8}" for i in range(count)],
        "panel_id": [f"p{i // 8}" for i in range(count)],
        "position": np.arange(count) % 8 + 1,
        "device_class": "standard",
        "poles": 1,
        "rated_a": 20,
        "panel_devices": 8,
        "camera_id": "c",
        "noted_minutes": 60.0,
        "noted_air_degc": 20.0,
        "is_current_known": True,
    }
    return pd.DataFrame(plain | columns)


def test_ties_at_the_edge_count_by_their_mean() -> None:
    """Two equal scores, one of them true, one place: half a hit."""
    assert hits([1, 0, 0, 0], [1, 1, 0, 0], 0.25) == 0.5
    assert hits([1, 0, 0, 0], [0, 0, 0, 0], 0.25) == 0.25


def test_a_missing_score_ranks_last() -> None:
    found = measures([1] + [0] * 99, [np.nan, *range(-99, 0)])
    assert found["recall_5%"] == 0.0
    assert found["average_precision"] == pytest.approx(1 / 100)


def test_perfect_order_has_all_that_fit() -> None:
    found = measures([1, 1, 1, 1] + [0] * 196, [4, 3, 2, 1] + [0] * 196)
    assert found["average_precision"] == 1.0
    assert found["recall_1%"] == 0.5
    assert found["precision_5%"] == 0.4


def test_bands_are_those_of_the_table() -> None:
    """ANSI/NETA ATS/MTS, Table 100.18, over ambient: 1-10, 11-20, 21-40, over 40 °C (F)."""
    rises = [0.5, 5.0, 15.0, 30.0, 39.0, 41.0, 80.0, 0.0]
    rows = _rows(8, observed_rise_k=rises, observed_load_fraction=0.5)
    assert action_bands(rows)["bands"].tolist() == [0, 1, 2, 3, 3, 4, 4, 0]


def test_seventy_fahrenheit_degrees_of_rise() -> None:
    """A rise of 70 °F is 38.9 K: 1.8 and never 32 (T)."""
    assert pytest.approx(38.9, abs=0.02) == FIXED_RISE_K


def test_robust_line_finds_the_exponent_and_the_hot_one() -> None:
    rng = np.random.default_rng(3)
    x = rng.uniform(0.1, 1.0, 400)
    rise = 2 + 30 * x**1.6 + rng.normal(0, 0.5, 400)
    rise[7] += 15
    rows = _rows(400, observed_rise_k=rise, observed_load_fraction=x)
    found = robust_lines(rows)
    assert np.argmax(found["kelvin"]) == 7
    assert np.std(np.delete(found["kelvin"], 7)) == pytest.approx(0.5, rel=0.1)


def test_boosting_never_saw_the_panel_it_judges() -> None:
    """What is one panel's own cannot be learned from the others: it stays in the residual."""
    rng = np.random.default_rng(4)
    own = np.repeat(rng.normal(0, 5, 60), 8)
    rows = _rows(480, observed_rise_k=10 + own, observed_load_fraction=0.3)
    table = features(rows)[["position", "rated"]].assign(panel=np.repeat(np.arange(60), 8))
    residual = boosted(rows, table, 10 + own, "squared_error")[0]
    assert np.std(residual) > 0.8 * np.std(own)


def _averages(own: float, other: float) -> pd.DataFrame:
    names = ["average_precision", "recall_1%", "recall_2%", "recall_5%"]
    return pd.DataFrame(
        [
            {
                "group": _fleet(1).group,
                "population": p,
                "detector": d,
                "form": "f",
                "measure": m,
                "mean": v,
            }
            for p in ("judgeable", "all")
            for d, v in (("loadrise", own), ("fixed_rise", other), ("oracle", 0.9))
            for m in names
        ]
    )


def _fleet(seed: int, trouble: str = "") -> FleetLine:
    return FleetLine("transient", 60, seed, 9, 9, 1, 1, 0.1, trouble)


def test_losses_are_told_and_none_is_invented() -> None:
    behind, ahead = _averages(0.3, 0.4), _averages(0.5, 0.4)
    told = losses(Comparison([_fleet(1)], behind, behind))
    assert "average precision 0.300 against 0.400 of fixed rise" in told[0]
    assert "2 of 2 comparisons" in headline(behind)
    told = losses(Comparison([_fleet(1)], ahead, ahead))
    assert len(told) == 1
    assert told[0].endswith("judgeable rows: 0.56 of the average precision of the oracle.")
    assert "no other detector" in headline(ahead)


def test_a_small_lead_and_a_silent_fleet_are_told() -> None:
    small, settled = _averages(0.42, 0.4), _averages(0.6, 0.4)
    told = losses(Comparison([_fleet(1, "the fit did not settle"), _fleet(2)], small, settled))
    assert "no verdict on 1 of 2 fleets (seeds 1)" in told[0]
    assert "0.600, that of fixed rise 0.400" in told[0]
    assert "only 1.05 × that of fixed rise" in told[1]
