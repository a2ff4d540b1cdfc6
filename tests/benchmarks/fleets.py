"""Invented fleets taken the whole way: files in, baseline fitted, readings judged, export out."""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd

from analytics.baseline import fit
from analytics.errors import NotConvergedError
from analytics.export import export
from analytics.ingest.load import ingest
from analytics.screening import screen
from analytics.warehouse import Warehouse, open_store
from synthetic_data import generate, load
from synthetic_data import simulate as simulate_balance
from tests.guarantees.scoring import EXPORTED, KEYS, join
from tests.guarantees.transient_fleet import MATERIAL_K, Fleet, write_csv
from tests.guarantees.transient_fleet import simulate as simulate_transient

ORACLE_BANDS = 8
"""Bands of healthy rise in which the spread behind an oracle's score is taken."""


@dataclass(frozen=True)
class Judged:
    """A fleet's readings with truth, what was noted, and the verdicts; `trouble` where none."""

    kind: str
    seed: int
    rows: pd.DataFrame
    oracles: tuple[str, ...]
    seconds: float
    trouble: str = ""


def transient(panels: int, seed: int, folder: Path) -> Judged:
    """Return a judged fleet of the transient heat network: one file, canonical headers, °F."""
    fleet = simulate_transient(panels, seed)
    sheet = folder / "readings.csv"
    write_csv(fleet, sheet)
    truth = pd.concat([fleet.truth, _noted_beside(fleet)], axis=1)
    oracles = ("oracle_score", "fair_oracle_score", "sharp_oracle_score")
    return _judge("transient", seed, truth, oracles, folder, lambda store: _take(store, [sheet]))


def _take(store: Warehouse, files: list[Path]) -> None:
    ingest(store, files)


def _noted_beside(fleet: Fleet) -> pd.DataFrame:
    """Return what the truth of the transient fleet leaves out of the notes, without slips."""
    sheet = fleet.readings.iloc[: len(fleet.truth)].reset_index(drop=True)
    degc = (pd.to_numeric(sheet["termination_temp"]) - 32.0) / 1.8
    at = pd.to_datetime(sheet["inspected_at"], errors="coerce")
    at = at.where(at.dt.year < 2030)
    at = at.groupby(sheet["inspection_id"].to_numpy()).transform("min")
    return pd.DataFrame(
        {
            "observed_termination_rise_k": degc - fleet.truth["noted_air_degc"],
            "make": sheet["make"].astype(str),
            "panel_location": sheet["panel_location"].astype(str),
            "quarter": at.dt.to_period("Q").astype(str),
        }
    )


def balance(panels: int, seed: int, folder: Path) -> Judged:
    """Return a judged fleet of the project's own generator: a sheet an office and quarter.

    The scenario is `steady`; a fleet of up to a hundred panels is `small`, a young firm.
    """
    scenario = load("small" if panels <= 100 else "steady", panels)
    files = folder / "files"
    written = generate("small" if panels <= 100 else "steady", seed, files, panels)
    readings, _, _ = simulate_balance(scenario, seed)
    truth = _balance_truth(readings, pd.read_parquet(written.truth_file))
    year, quarter = scenario.quarters[-1].split("Q")
    month = 3 * int(quarter) + 1
    today = dt.datetime(int(year) + month // 13, (month - 1) % 12 + 1, 1)

    def take(store: Warehouse) -> None:
        for plan in written.map_files:
            office = plan.stem.removesuffix("_columns")
            own = [p for p in written.reading_files if p.name.startswith(f"{office}_")]
            ingest(store, own, column_map=plan, now=today)

    oracles = ("oracle_score", "sharp_oracle_score")
    return _judge("balance", seed, truth, oracles, folder, take)


def _balance_truth(readings: pd.DataFrame, truth: pd.DataFrame) -> pd.DataFrame:
    """Return truth and notes of the own generator in the words of the transient fleet's truth."""
    noted = readings[["device_class", "poles", "rated_a", "camera_id", "make", "panel_location"]]
    lift = truth[["lift_face_k", "lift_termination_k"]].max(axis=1)
    slip = truth["clerical_error"].fillna("")
    rows = noted.assign(
        **{name: truth[name] for name in (*KEYS, "quarter")},
        panel_devices=_visits(truth)["position"].transform("size"),
        observed_rise_k=_surface(readings) - readings["ambient_temp"],
        observed_termination_rise_k=readings["termination_temp"] - readings["ambient_temp"],
        observed_load_fraction=readings["current_a"] / readings["rated_a"],
        is_current_known=readings["current_a"].notna(),
        noted_air_degc=readings["ambient_temp"],
        noted_minutes=readings["load_minutes"],
        has_fault=truth["truth"] != "healthy",
        is_material=lift >= MATERIAL_K,
        clerical_error=slip,
        is_judgeable=readings["current_a"].notna() & (slip == ""),
    )
    return pd.concat([rows, _balance_oracles(rows, truth)], axis=1)


def _surface(readings: pd.DataFrame) -> pd.Series:
    """Return the surface [°C] by the equation of ISO 18434-1 where emissivity was noted."""
    room = (readings["reflected_temp"] + 273.15) ** 4
    seen, share = (readings["device_temp"] + 273.15) ** 4, readings["emissivity"]
    true = ((seen - (1.0 - share) * room) / share) ** 0.25 - 273.15
    return true.fillna(readings["device_temp"])


def _visits(frame: pd.DataFrame) -> pd.api.typing.DataFrameGroupBy:
    return frame.groupby(["inspection_id", "panel_id"])


def _balance_oracles(rows: pd.DataFrame, truth: pd.DataFrame) -> pd.DataFrame:
    """Return detectors that know each device's own healthy rise; the sharp one camera and air too.

    Spreads are those of the healthy rows in eight bands of healthy rise.
    """
    healthy = truth["true_face_degc"] - truth["true_ambient_degc"] - truth["lift_face_k"]
    gap = rows["observed_rise_k"] - healthy
    air = rows["noted_air_degc"] - truth["true_ambient_degc"]
    band = pd.qcut(healthy, ORACLE_BANDS, labels=False, duplicates="drop")
    is_healthy = truth["truth"] == "healthy"

    def score(values: pd.Series) -> pd.Series:
        middle = values.where(is_healthy).groupby(band).transform("median")
        spread = (values - middle).abs().where(is_healthy).groupby(band).transform("median")
        return ((values - middle) / (1.4826 * spread)).where(rows["is_current_known"])

    sharp = gap - truth["camera_offset_k"] + air
    return pd.DataFrame({"oracle_score": score(gap), "sharp_oracle_score": score(sharp)})


def _judge(
    kind: str,
    seed: int,
    truth: pd.DataFrame,
    oracles: tuple[str, ...],
    folder: Path,
    take: Callable[[Warehouse], None],
) -> Judged:
    """Take the files in, fit, screen, export; a fit that does not settle gives no verdict."""
    out, trouble = folder / "screening.parquet", ""
    start = time.perf_counter()
    with open_store(folder / "fleet.duckdb") as store:
        take(store)
        try:
            fit(store)
            screen(store)
            export(store, "screening", out)
        except NotConvergedError:
            trouble = "the fit did not settle"
    seconds = time.perf_counter() - start
    found = _no_verdicts(truth) if trouble else pd.read_parquet(out)
    return Judged(kind, seed, join(found, truth), oracles, seconds, trouble)


def _no_verdicts(truth: pd.DataFrame) -> pd.DataFrame:
    empty = dict.fromkeys(EXPORTED, np.nan) | {"verdict": "cannot_judge"}
    return truth[KEYS].assign(**empty)


MAKERS: dict[str, Callable[[int, int, Path], Judged]] = {
    "transient": transient,
    "balance": balance,
}
"""Kind of fleet -> its maker; panels, seed and an empty folder make a judged fleet."""
