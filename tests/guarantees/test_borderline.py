"""What a borderline promises: verdicts turn about as often as stated when instruments err anew.

Readings of an invented fleet are read again with errors drawn evenly within the limits of their
instruments (JCGM 100:2008, 4.3.7) and judged by the same baseline and policy.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from analytics.baseline import fit
from analytics.ingest.load import ingest
from analytics.judging import instrument_errors
from analytics.screening import screen
from analytics.warehouse import Warehouse, open_store
from synthetic_data import generate

DRAWS = 8
FLAGGED = ("suspect_connection", "overload_and_connection")
HALF_WIDTH = 3**0.5
"""Half the width of an even spread, in its standard deviations."""


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> pd.DataFrame:
    """Return verdicts with what they became, half of the near borderline ones in each draw."""
    folder = tmp_path_factory.mktemp("borderline")
    written = generate("steady", 21, folder / "files", 1500)
    with open_store(folder / "fleet.duckdb") as store:
        for plan in written.map_files:
            office = plan.stem.removesuffix("_columns")
            own = [p for p in written.reading_files if p.name.startswith(f"{office}_")]
            ingest(store, own, column_map=plan)
        fit(store)
        screen(store)
        first = _verdicts(store)
        store.execute("create temp table kept as from records.reading")
        near = first.index[first["flip"] > 0.02]
        rng = np.random.default_rng(1)
        return pd.concat(
            [_again(store, first, near[rng.random(len(near)) < 0.5], rng) for _ in range(DRAWS)]
        )


def _verdicts(store: Warehouse) -> pd.DataFrame:
    rows = store.fetch("select reading_id, verdict, flip_chance from screening.result")
    frame = pd.DataFrame(rows, columns=["reading_id", "verdict", "flip"])
    return frame.set_index("reading_id").astype({"flip": float})


def _again(
    store: Warehouse, first: pd.DataFrame, which: pd.Index, rng: np.random.Generator
) -> pd.DataFrame:
    """Read some devices again and judge all anew."""
    sizes = instrument_errors()

    def errors(name: str) -> np.ndarray:
        return rng.uniform(-HALF_WIDTH, HALF_WIDTH, len(which)) * sizes[name]

    erring = pd.DataFrame({"reading_id": which, "off_k": errors("camera_k") - errors("air_k")})
    erring["times"], erring["more_a"] = 1.0 + errors("clamp_share"), errors("clamp_floor_a")
    store.register("erring", erring)
    store.execute(
        "update records.reading as r set device_degc = k.device_degc + coalesce(e.off_k, 0), "
        "termination_degc = k.termination_degc + coalesce(e.off_k, 0), current_a = "
        "greatest(k.current_a * coalesce(e.times, 1) + coalesce(e.more_a, 0), 0) "
        "from kept as k left join erring as e using (reading_id) "
        "where k.reading_id = r.reading_id"
    )
    store.unregister("erring")
    store.execute("drop table normalise.measure")
    screen(store)
    return first.join(_verdicts(store)["verdict"].rename("now")).loc[which]


def _turned(rows: pd.DataFrame) -> tuple[float, int, int]:
    """Return what is stated and found of turned verdicts, and of how many."""
    return float(rows["flip"].sum()), int((rows["verdict"] != rows["now"]).sum()), len(rows)


def test_flagged_readings_turn_about_as_often_as_stated(drawn: pd.DataFrame) -> None:
    """Within a third of what is stated, and three standard deviations of counting."""
    rows = drawn[drawn["verdict"].isin(FLAGGED)]
    stated, turned, count = _turned(rows)
    assert count > 120
    assert abs(turned - stated) <= stated / 3 + 3 * np.sqrt(stated), (stated, turned, count)


def test_readings_called_borderline_turn_often_and_others_seldom(drawn: pd.DataFrame) -> None:
    """From a stated fifth on at least a tenth turn; below a twentieth at most a tenth do."""
    rows = drawn[drawn["verdict"].isin((*FLAGGED, "overload"))]
    _, turned, count = _turned(rows[rows["flip"] >= 0.2])
    assert count > 100
    assert turned >= count / 10
    _, turned, count = _turned(rows[rows["flip"] < 0.05])
    assert turned <= count / 10 + 3 * np.sqrt(count / 10)
