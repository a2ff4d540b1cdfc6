"""Cases of the trade through the whole way: file in, verdict out, beside a fleet to learn from."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from analytics import settings as st
from analytics.baseline import fit
from analytics.ingest.load import ingest
from analytics.screening import screen
from analytics.statistics import heat
from analytics.units import difference_to_k, to_degc
from analytics.warehouse import open_store
from tests.guarantees.transient_fleet import simulate

SUSPECT = {"suspect_connection", "overload_and_connection"}
IDLE_ELECTRONICS = {3: "afci", 6: "gfci", 9: "dual_function", 12: "surge_protector"}
"""Position -> class, warm with no load."""


def panel(name: str, ambient_degf: float, special: dict[int, dict[str, object]]) -> pd.DataFrame:
    """Return a visit of twelve cool 15 A breakers, some of them replaced."""
    rows = []
    for position in range(1, 13):
        row: dict[str, object] = {
            "inspection_id": name,
            "inspected_at": "2024-02-01 10:00",
            "panel_id": name,
            "panel_location": "utility",
            "ambient_temp": ambient_degf,
            "device_temp": ambient_degf + 1.5 + 0.3 * (position % 4),
            "temp_unit": "degF",
            "position": position,
            "device_class": "standard",
            "poles": 1,
            "rated_a": 15,
            "load_minutes": 45,
        }
        rows.append(row | special.get(position, {}))
    return pd.DataFrame(rows)


@pytest.fixture(scope="module")
def verdicts(tmp_path_factory: pytest.TempPathFactory) -> pd.DataFrame:
    """Return the screening of 150 invented panels and the two of the cases."""
    file: Path = tmp_path_factory.mktemp("cases") / "readings.csv"
    idle = {
        position: {"device_class": name, "device_temp": 72.0 + 40.5, "current_a": 0.0}
        for position, name in IDLE_ELECTRONICS.items()
    }
    crimp = {"device_temp": 91.0, "termination_temp": 155.0, "conductor_temp": 100.0}
    crimp |= {"rated_a": 20, "current_a": 12.5}
    cases = [panel("idle", 72.0, idle), panel("crimp", 75.0, {6: crimp})]
    fleet = simulate(150, 31, fault_share=0.03).readings
    pd.concat([fleet, *cases], ignore_index=True).to_csv(file, index=False)
    with open_store() as store:
        ingest(store, [file])
        fit(store)
        screen(store)
        return store.frame("marts.export_screening").set_index(["panel_id", "position"])


@pytest.mark.parametrize("position", IDLE_ELECTRONICS)
def test_electronics_are_warm_with_no_load(verdicts: pd.DataFrame, position: int) -> None:
    # 22 to 23 K over cold neighbours was called normal: trade reports, no published source. Warmth
    # with no load is no evidence for a bad connection, whatever the class.
    row = verdicts.loc["idle", position]
    assert row["device_class"] == IDLE_ELECTRONICS[position]
    assert row["rise_k"] == pytest.approx(22.5, abs=0.05)
    assert row["verdict"] not in SUSPECT
    assert row["probability"] < 0.01


def test_own_draw_is_in_the_prior() -> None:
    # About half a watt, 0.1 to 7 W reported: common practice, no published source. The prior of the
    # electronic classes lets 22 K with no load lie within two of its spreads, the cold ones' does
    # not.
    electronic, standard = (st.group_prior("face", one) for one in ("afci", "standard"))
    assert (22.0 - electronic.offset_k.mean) / electronic.offset_k.sd < 2.0
    assert (22.0 - standard.offset_k.mean) / standard.offset_k.sd > 5.0


def test_prior_of_the_gain_is_the_practitioner_s() -> None:
    # Body about 30 K over ambient at full rated load, 20.8, 9.6, 6.7 K at 80, 50, 40 %: a
    # practitioner's figure, no published source; the rest derived by n = 1.639.
    prior = st.group_prior("face", "standard").gain_k
    found = [prior.mean / heat.full_load_multiplier(f, 1 / 0.61).item() for f in (0.8, 0.5, 0.4)]
    assert found == pytest.approx([20.8, 9.6, 6.7], abs=0.05)
    assert prior.sd >= 0.3 * prior.mean, "a prior only, of low weight"


def test_a_hot_crimp_between_cool_neighbours(verdicts: pd.DataFrame) -> None:
    # 155 °F between a 100 °F wire and a 91 °F breaker on 12.5 A, 62 % of load: a trade report. It
    # stands 30.6 K above its own wire: a connection fault.
    assert to_degc(155, "degF") - to_degc(100, "degF") == pytest.approx(30.6, abs=0.05)
    assert difference_to_k(155 - 100, "degF") == pytest.approx(30.6, abs=0.05)
    row = verdicts.loc["crimp", 6]
    assert row["load_fraction"] == pytest.approx(0.62, abs=0.006)
    assert row["verdict"] == "suspect_connection"
    assert row["probability"] > 0.95


def test_the_crimp_s_neighbours_are_not_blamed(verdicts: pd.DataFrame) -> None:
    rows = verdicts.loc["crimp"].drop(index=6)
    assert len(rows) == 11
    assert not set(rows["verdict"]) & SUSPECT
