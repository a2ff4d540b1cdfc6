"""What the trends promise: steady fleets stay quiet, planted changes are named in time.

Fleets of the project's own generator (twelve quarters, twelve inspectors with a camera each, three
offices) and of the transient heat network (eight quarters, fourteen cameras). Figures that were
measured on more and larger fleets are in DEVELOPERS.md, “Trends measured”.
"""

from __future__ import annotations

import datetime as dt
import html
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from analytics.baseline import fit
from analytics.ingest.load import ingest
from analytics.screening import screen
from analytics.trends import Signal, Trends, collect, study
from analytics.trends.collect import gather
from analytics.trends.report import age
from analytics.warehouse import Warehouse, open_store
from dashboards.pages.quarter import page
from dashboards.pages.quarter_index import index_page
from dashboards.quarter import collect as collect_page
from dashboards.quarter import collect_overview
from dashboards.render import render
from synthetic_data import generate
from tests.guarantees.transient_fleet import simulate, write_csv

INSPECTIONS = 1500
SEEDS = (11, 12)
TOLD_QUARTERS = ("2024Q4", "2025Q2", "2025Q4", "2026Q2", "2026Q3")
TODAY = dt.datetime(2026, 10, 1)
PEOPLE_AND_CAMERAS = 24
LEAST_SUBJECTS = PEOPLE_AND_CAMERAS + 3 + 4 + 1
"""Twelve inspectors, twelve cameras, three offices, four makes, the firm; classes not counted."""


def _fill(store: Warehouse, scenario: str, seed: int, folder: Path) -> Path:
    written = generate(scenario, seed, folder, INSPECTIONS)
    for plan in written.map_files:
        office = plan.stem.removesuffix("_columns")
        own = [p for p in written.reading_files if p.name.startswith(f"{office}_")]
        ingest(store, own, column_map=plan, now=TODAY)
    fit(store)
    screen(store)
    return written.truth_file


@pytest.fixture(scope="module", params=SEEDS)
def steady(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[Warehouse, Path]]:
    folder = tmp_path_factory.mktemp(f"steady{request.param}")
    with open_store(folder / "fleet.duckdb") as store:
        yield store, _fill(store, "steady", request.param, folder / "files")


@dataclass(frozen=True)
class Planted:
    """A fleet with planted changes: its trends, and what the pages of some quarters say."""

    trends: Trends
    pages: dict[str, str]


@pytest.fixture(scope="module", params=SEEDS)
def planted(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Planted:
    folder = tmp_path_factory.mktemp(f"demo{request.param}")
    with open_store(folder / "fleet.duckdb") as store:
        _fill(store, "demo", request.param, folder / "files")
        looked = study(store)
        pages = {one: _told(store, looked.upto(one)) for one in TOLD_QUARTERS}
        return Planted(looked.upto(), pages)


def _told(store: Warehouse, found: Trends) -> str:
    """Return the words of a quarter's page without its tables."""
    text = render(page(collect_page(store, found.quarter, found), "degF"))
    bare = re.sub(r"<(script|style|table)\b.*?</\1>", " ", text, flags=re.DOTALL)
    bare = re.sub(r"</?bdi>", "", bare)
    words = html.unescape(re.sub(r"<[^>]+>", " ", bare)).replace("\u00a0", " ")
    return " ".join(words.split())


def _told_signals(words: str) -> int:
    tags = r"new|since \d{4}Q\d, [\w ]+ quarters|also on the page of \d{4}Q\d"
    return len(re.findall(rf" (?:{tags}|pages from \d{{4}}Q\d on) (?=[A-Z])", words))


def _moved_k(truth: pd.DataFrame, one: Signal) -> float:
    """Return how far the camera's true offset moved from its own past [K]."""
    own = truth[truth["camera_id"] == one.level_name].groupby("quarter")["camera_offset_k"].mean()
    return float(own[one.quarter] - own[own.index < one.quarter].mean())


def _with_cameras(store: Warehouse, path: Path) -> pd.DataFrame:
    rows = store.fetch("select distinct inspection_id, camera_id from normalise.measure")
    cameras = pd.DataFrame(rows, columns=["inspection_id", "camera_id"])
    return pd.read_parquet(path).merge(cameras, on="inspection_id")


def test_a_steady_fleet_stays_quiet(steady: tuple[Warehouse, Path]) -> None:
    """At most one false signal in 40 subject-quarters; a camera that truly wandered is none."""
    store, path = steady
    found = collect(store)
    truth = _with_cameras(store, path)
    false = [
        one
        for one in found.signals
        if not (one.subject == "camera" and _moved_k(truth, one) * np.sign(one.size) > 0.5)
    ]
    looked = LEAST_SUBJECTS * len(found.quarters)
    assert len(found.quarters) == 12
    assert len(false) <= looked / 40, [one.sentence for one in false]
    assert sum(one.quarter == "2026Q3" for one in false) <= 1


def _shuffled(store: Warehouse, rng: np.random.Generator) -> None:
    """Deal the inspections of each office anew over quarters, cameras and inspectors."""
    rows = store.fetch(
        "select inspection_id, any_value(office), any_value(inspector), any_value(camera), "
        "any_value(quarter_index) from main.kept group by inspection_id order by inspection_id"
    )
    frame = pd.DataFrame(
        rows, columns=["inspection_id", "office", "inspector", "camera", "quarter"]
    )
    dealt = frame.copy()
    for _, part in frame.groupby("office"):
        names = ["inspector", "camera", "quarter"]
        dealt.loc[part.index, names] = part[names].to_numpy()[rng.permutation(len(part))]
    store.register("dealt", dealt)
    store.execute(
        "create or replace table trends.reading as select k.* replace (d.inspector as inspector, "
        "d.camera as camera, d.quarter::integer as quarter_index) from main.kept as k "
        "inner join dealt as d using (inspection_id)"
    )
    store.unregister("dealt")


def _more_flagged(store: Warehouse, seed: int) -> None:
    """Flag readings of the last three quarters at random until twice as many are flagged."""
    count = "count(*) filter (where is_flagged)::double / count(*) filter (where is_judged)"
    store.execute(
        "create or replace table trends.reading as select * replace (is_flagged or ("
        "hash(reading_id + 1000003 * $seed::bigint) % 100000 < 100000 * ("
        f"select {count} from trends.reading where quarter_index >= 8104) "
        "and is_judged and quarter_index >= 8104) as is_flagged) from trends.reading",
        {"seed": seed},
    )


def test_dealt_anew_a_fleet_has_no_signal_but_what_is_put_in(
    steady: tuple[Warehouse, Path],
) -> None:
    """Four deals: nothing changes over time and nobody differs; then flagged readings are doubled.

    A firm this small has ten flagged readings a quarter; a rise by half of 28 a quarter is counted
    in `tests/trends/test_parts.py`.
    """
    store, _ = steady
    rng = np.random.default_rng(1)
    store.execute("create or replace temp table kept as from trends.reading")
    false = found = 0
    deals = 4
    for deal in range(deals):
        _shuffled(store, rng)
        quiet = gather(store).signals
        false += sum(one.subject != "inspector" or one.measure == "deviation" for one in quiet)
        _more_flagged(store, deal)
        late = [one for one in gather(store).signals if one.quarter >= "2026Q1"]
        found += any((one.subject, one.measure) == ("firm", "flagged") for one in late)
    assert false <= deals * LEAST_SUBJECTS * 12 / 40 / 2
    assert found >= 0.75 * deals


def test_planted_changes_are_named(planted: Planted) -> None:
    """The camera in its first quarter, the hasty inspector in his, the hot make within a year."""
    found = planted.trends
    by = {(s.subject, s.level_name, s.measure, s.quarter): s for s in found.signals}
    camera = by["camera", "cam-north-3", "deviation", "2025Q2"]
    assert abs(camera.size - 3.0) < 3.0 * (camera.high - camera.low) / 3.92
    assert camera.count >= 5
    assert ("inspector", "lake-2", "ambient", "2024Q4") in by
    assert ("inspector", "lake-2", "clamped", "2024Q4") in by
    hot = [s for s in found.signals if (s.subject, s.level_name) == ("make", "Tamridge")]
    assert hot
    assert all(s.low > 0.1 for s in hot)


def test_the_pages_name_what_is_planted(planted: Planted) -> None:
    """Each page has the quarter's signals word for word, all and no others, and says so first."""
    for quarter, words in planted.pages.items():
        here = [one for one in planted.trends.signals if one.quarter == quarter]
        for one in here:
            assert words.count(f"{age(one)} {one.sentence}") == 1
        assert _told_signals(words) == len(here)
        assert f"{len(here)} show" in words.split(" Live panels")[0]
    first = {quarter: words.split(" Live panels")[0] for quarter, words in planted.pages.items()}
    assert "camera cam-north-3 reads" in first["2025Q2"]
    assert "warmer than it used to" in first["2025Q2"]
    assert "inspector lake-2 noted the same air temperature in" in first["2024Q4"]
    assert any("make Tamridge runs" in first[one] for one in ("2025Q4", "2026Q2", "2026Q3"))
    assert "The course of camera cam-north-3" in planted.pages["2025Q2"]
    assert "cam-north-3 moves more than chance brings." in planted.pages["2025Q2"]


def test_the_page_of_a_steady_fleet_names_none(steady: tuple[Warehouse, Path]) -> None:
    """A page has no more signals than the trends, which have one at most in the last quarter."""
    store, _ = steady
    found = collect(store)
    words = _told(store, found)
    here = [one for one in found.signals if one.quarter == found.quarter]
    assert _told_signals(words) == len(here)
    quiet = "and the firm none stands apart more than chance brings ."
    assert (quiet in words) == (not here)
    index = index_page(collect_overview(store, found.quarter, found), {})
    told = [row.quarter for row in index.rows if "Nothing stands apart" not in row.signals]
    assert sorted(told) == sorted({one.quarter for one in found.signals})
    assert len(told) <= 3


def test_nobody_else_is_named_much(planted: Planted) -> None:
    found = planted.trends
    planted_names = {"cam-north-3", "lake-2", "cam-lake-2", "Tamridge", "the whole firm"}
    others = [s for s in found.signals if s.level_name not in planted_names]
    assert len(others) <= LEAST_SUBJECTS * 12 / 40, [s.sentence for s in others]
    assert all(np.isfinite([s.size, s.low, s.high]).all() and s.count > 0 for s in found.signals)
    assert all(s.low <= s.size <= s.high for s in found.signals)


def test_another_physics_measures_the_drift_and_names_few(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    """A transient fleet of 1,200 panels, ten a camera and quarter, one camera 3 K off from 2025Q2.

    So few do not always make a signal; the size is right within three standard errors in each of
    the three quarters, and at most one signal in 40 subject-quarters speaks of another subject.
    """
    folder = tmp_path_factory.mktemp("transient")
    fleet = simulate(1200, 5, camera_drift={"C03": (5, 3.0)})
    write_csv(fleet, folder / "readings.csv")
    with open_store(folder / "fleet.duckdb") as store:
        ingest(store, [folder / "readings.csv"])
        fit(store)
        screen(store)
        found = collect(store)
    late = [
        one
        for one in found.points
        if (one.subject, one.level_name) == ("camera", "C03")
        and "2025Q2" <= one.quarter <= "2025Q4"
    ]
    assert len(late) == 3
    for one in late:
        wander_k = 0.5  # the fleet's cameras are drawn anew each quarter
        assert one.change == pytest.approx(3.0, abs=3.0 * np.hypot(one.change_error, wander_k))
    others = [s for s in found.signals if s.level_name not in ("C03", "I03")]
    assert len(others) <= 30 * 8 / 40, [s.sentence for s in others]
