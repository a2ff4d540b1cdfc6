"""What practitioners decided on single readings, as verdicts: with a fleet and without one."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from analytics.baseline import fit
from analytics.ingest.load import ingest
from analytics.screening import screen
from analytics.warehouse import open_store
from tests.guarantees.transient_fleet import simulate, write_csv

CASES = Path(__file__).with_name("trade_cases.csv")


@pytest.fixture(scope="module", params=["cold start", "fleet"])
def verdicts(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> pd.DataFrame:
    folder: Path = tmp_path_factory.mktemp("cases")
    files = [CASES]
    if request.param == "fleet":
        write_csv(simulate(250, 3), folder / "readings.csv")
        files.append(folder / "readings.csv")
    with open_store(folder / "fleet.duckdb") as warehouse:
        ingest(warehouse, files)
        fit(warehouse)
        screen(warehouse)
        rows = warehouse.frame("marts.export_screening")
    return rows[rows["position"] == 1].set_index("panel_id")


def test_over_the_limit_and_evenly_warm_is_an_overload(verdicts: pd.DataFrame) -> None:
    # Common practice, no published source: 13.5 A on a 15 A standard breaker with an evenly warm
    # wire is an overload, not a connection fault; under 12 A the same picture would be normal.
    # The limit itself is NEC 210.20(A). The temperatures are ours.
    assert verdicts.loc["EVEN", "verdict"] == "overload"
    assert verdicts.loc["UNDER", "verdict"] == "normal"


def test_an_idle_arc_fault_breaker_is_never_called_a_bad_connection(verdicts: pd.DataFrame) -> None:
    # Trade reports: 22-23 K over cold neighbours with no load was called normal.
    assert verdicts.loc["IDLE", "rise_k"] == pytest.approx(22.0)
    assert verdicts.loc["IDLE", "verdict"] in ("normal", "cannot_judge")
    assert verdicts.loc["IDLE", "probability"] < 0.01


def test_a_crimp_far_above_its_wire_is_a_suspected_connection(verdicts: pd.DataFrame) -> None:
    # Trade report: a crimp at 155 °F between a 100 °F wire and a 91 °F breaker on about 12.5 A.
    assert verdicts.loc["CRIMP", "verdict"] == "suspect_connection"
    assert verdicts.loc["CRIMP", "heat_pattern"] == "peaks_at_terminal"
    assert "termination" in verdicts.loc["CRIMP", "reason"]


@pytest.mark.parametrize("verdicts", ["cold start"], indirect=True)
def test_where_only_priors_speak_22_k_is_usual_for_an_idle_arc_fault_breaker(
    verdicts: pd.DataFrame,
) -> None:
    # Trade reports, as the prior of electronic classes holds them.
    assert verdicts.loc["IDLE", "verdict"] == "normal"


def test_a_hot_crimp_is_suspected_whether_its_current_was_clamped_or_not(
    verdicts: pd.DataFrame,
) -> None:
    # Trade report, as above; the heat lies between wire and breaker whatever the current.
    assert verdicts.loc["UNCLAMPED", "verdict"] == "suspect_connection"
    assert "termination" in verdicts.loc["UNCLAMPED", "reason"]
