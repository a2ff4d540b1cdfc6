"""What practitioners decided on single readings, as verdicts: with a fleet and without one."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from analytics.baseline import fit
from analytics.ingest.load import ingest
from analytics.policy import NEVER, STANDARDS, default_policy
from analytics.screening import screen
from analytics.warehouse import open_store
from tests.guarantees.transient_fleet import KEYS, simulate, write_csv

CASES = Path(__file__).with_name("trade_cases.csv")
BEYOND = Path(__file__).with_name("beyond_cases.csv")
"""Readings that no standard allows; taken in after the fit, so that they teach nothing."""


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
        ingest(warehouse, [BEYOND])
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


HOT_WHATEVER = {
    "BURNTWIRE": ("Its wire is hotter than common insulation", "90 °C or 194 °F"),
    "HOTFACE": ("Its face is hotter than its standard allows", "60 K or 108 °F"),
    "NOLOADFACE": ("With no load it is more than 20 K", "no heat of its own"),
    "EVENHOT": ("Its termination is hotter than its standard allows", "50 K or 90 °F"),
    "EARLY": ("Its termination is hotter than its standard allows", "50 K or 90 °F"),
}
"""Terminals may rise by 50 K at rating, a surface that is no metal reach 85 °C: UL 489, 7.1.4
(found in a public copy), 60 K of other parts: IEC 60898-1 (from memory); insulation is rated for
90 °C at most: NEC 2023, table 310.16 (found in a public copy). A breaker without electronics has
no heat without current: common practice, no published source. The temperatures are ours."""


@pytest.mark.parametrize("panel", HOT_WHATEVER)
def test_what_no_standard_allows_at_full_load_is_suspected_whatever_the_load(
    verdicts: pd.DataFrame, panel: str
) -> None:
    found = verdicts.loc[panel]
    assert found["verdict"] == "suspect_connection"
    assert all(words in found["reason"] for words in HOT_WHATEVER[panel])
    assert "licensed electrician" in found["next_step"]
    assert "do not go back in to clamp it" in found["next_step"]
    assert not any(words in found["next_step"] for words in ("Borderline", "scan again", "Nothing"))


def test_a_termination_hot_with_no_load_is_suspected(verdicts: pd.DataFrame) -> None:
    """The crimp of the trade report, its current typed as 0 A."""
    assert verdicts.loc["NOLOADTERM", "verdict"] == "suspect_connection"
    assert "usual loads" not in verdicts.loc["NOLOADTERM", "next_step"]


def test_what_is_usual_without_its_termination_asks_for_it(verdicts: pd.DataFrame) -> None:
    """A face shows a fault at the terminal late: usual is told with what is still to be read."""
    usual = verdicts[(verdicts["verdict"] == "normal")]
    assert not usual["next_step"].str.contains("Nothing").any()
    assert usual["next_step"].str.len().min() > 0


def test_lines_of_the_standards_leave_healthy_breakers_alone(tmp_path: Path) -> None:
    """Fewer than one healthy reading in a thousand is turned over by the lines of the standards."""
    fleet = simulate(120, 5)
    write_csv(fleet, tmp_path / "readings.csv")
    without = default_policy().moved(**dict.fromkeys(STANDARDS, NEVER))
    found = {}
    with open_store(tmp_path / "fleet.duckdb") as warehouse:
        ingest(warehouse, [tmp_path / "readings.csv"])
        fit(warehouse)
        for name, policy in (("with", default_policy()), ("without", without)):
            screen(warehouse, policy)
            found[name] = warehouse.frame("marts.export_screening").set_index(KEYS)["verdict"]
    healthy = fleet.truth[~fleet.truth["has_fault"]].set_index(KEYS).index
    is_turned = (found["with"] != found["without"]).reindex(healthy).fillna(value=False)
    assert len(is_turned) > 2000
    assert is_turned.mean() < 1e-3


def test_a_face_that_no_standard_allows_is_referred_though_an_overload_explains_it() -> None:
    # UL 489 7.1.4 allows the face no more at full load, whatever a firm's own readings make usual.
    with open_store() as warehouse:
        told = [
            warehouse.fetch(
                "select verdict_next_step('overload', 0.94, true, false, false, false, 30, null, "
                f"0.01, null, false, 2.0, false, {is_over})"
            )[0][0]
            for is_over in ("true", "false")
        ]
    assert told[0].startswith("Leave it and refer it to a licensed electrician")
    assert told[1].startswith("If this load runs three hours or more")
