"""The queries behind the page: against published intervals, a recount, and the verdict itself."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import fields
from datetime import date
from pathlib import Path

import pytest

from analytics import querybook
from analytics.warehouse import Warehouse, open_store
from dashboards.quarter import LOAD_STEP, MOST_LOAD, RECORDS, collect
from dashboards.quarter_records import Case, QuarterRecord
from tests.cli.fleet import make_store
from tests.gold.tables import LAST, small_fleet

PARAMS: dict[str, object] = {
    "quarter": LAST,
    "allowed_k": 50.0,
    "any_share": 1.0,
    "known_on": date(2026, 10, 20),
    "warm_k": 8.0,
    "visit_ids": [2],
    "reading_ids": [9],
    "most_load": 1.25,
    "step": 0.025,
}


@pytest.fixture(scope="module")
def warehouse() -> Iterator[Warehouse]:
    with small_fleet() as store:
        yield store


@pytest.fixture(scope="module")
def record(warehouse: Warehouse) -> QuarterRecord:
    return collect(warehouse, LAST)


@pytest.mark.parametrize("name", RECORDS)
def test_records_have_the_columns_of_their_query(warehouse: Warehouse, name: str) -> None:
    params = {key: PARAMS[key] for key in querybook.load(name).params}
    columns = list(warehouse.frame(name, **params).columns)
    assert [field.name for field in fields(RECORDS[name])] == columns


def test_every_mart_is_gathered() -> None:
    assert sorted(RECORDS) == [name for name in querybook.names("marts") if "quarter_" in name]


@pytest.mark.parametrize(
    ("hits", "total", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_wilson(warehouse: Warehouse, hits: int, total: int, low: float, high: float) -> None:
    """Newcombe, Statistics in Medicine 1998, 857–872, table I (from memory), to 4 decimals."""
    sql = "select wilson_low($h, $n), wilson_high($h, $n)"
    found = warehouse.fetch(sql, {"h": hits, "n": total})
    assert found[0] == pytest.approx((low, high), abs=5.1e-5)


@pytest.mark.parametrize(
    ("one", "other", "low", "high"),
    [
        ((56, 70), (48, 80), 0.0524, 0.3339),
        ((9, 10), (3, 10), 0.1705, 0.8090),
        ((6, 7), (2, 7), 0.0582, 0.8062),
        ((5, 56), (0, 29), -0.0381, 0.1926),
        ((0, 10), (0, 20), -0.1611, 0.2775),
        ((10, 10), (0, 20), 0.6791, 1.0),
    ],
)
def test_change(
    warehouse: Warehouse, one: tuple[int, int], other: tuple[int, int], low: float, high: float
) -> None:
    """Newcombe, Statistics in Medicine 1998, 873–890, method 10 (from memory), to 4 decimals."""
    sql = "select change_low($a, $b, $c, $d), change_high($a, $b, $c, $d)"
    found = warehouse.fetch(sql, dict(zip("abcd", (*one, *other), strict=True)))
    assert found[0] == pytest.approx((low, high), abs=5.1e-5)


def test_no_total_gives_no_interval(warehouse: Warehouse) -> None:
    sql = "select wilson_low(0, 0), wilson_high(0, 0), change_low(1, 2, 0, 0)"
    assert warehouse.fetch(sql) == [(None, None, None)]


def test_counts_agree_with_a_recount(warehouse: Warehouse, record: QuarterRecord) -> None:
    rows = warehouse.fetch(
        "select m.quarter, s.verdict, m.load_fraction from normalise.measure as m "
        "join screening.result as s using (reading_id)"
    )
    for row in record.counts:
        mine = Counter(verdict for quarter, verdict, _ in rows if quarter == row.quarter)
        unjudged, again = mine["cannot_judge"], mine["recheck"]
        assert row.reading_count == sum(mine.values())
        assert row.judged_count == row.reading_count - unjudged - again
        assert row.flagged_count == mine["suspect_connection"] + mine["overload_and_connection"]
        assert row.overload_count == mine["overload"] + mine["overload_and_connection"]
        assert (row.unjudged_count, row.recheck_count) == (unjudged, again)
        over = [load for quarter, verdict, load in rows
                if quarter == row.quarter and verdict.startswith("overload")]  # fmt: skip
        assert row.rating_count == sum(load > 1.0 for load in over)
    assert 0 < record.now.rating_count < record.now.overload_count


def test_a_quarter_without_readings_is_a_gap(record: QuarterRecord) -> None:
    assert [row.quarter for row in record.counts] == ["2025Q4", "2026Q1", "2026Q2", "2026Q3"]
    gap = record.counts[1]
    assert (gap.reading_count, gap.flagged_low, gap.flagged.value) == (0, None, None)
    assert record.counts[2].flagged_change_low is None


def test_later_quarters_stay_out(warehouse: Warehouse) -> None:
    early = collect(warehouse, "2026Q2")
    assert [row.quarter for row in early.counts][-1] == "2026Q2"
    assert {case.inspected_at.month for case in early.cases} <= {4, 5, 6}


def test_standings_of_a_subject_add_up(record: QuarterRecord) -> None:
    for subject in {row.subject for row in record.standings}:
        rows = record.level_rows(subject)
        assert sum(row.reading_count for row in rows) == record.now.reading_count
        assert sum(row.judged_count for row in rows) == record.now.judged_count
        assert sum(row.flagged_count for row in rows) == record.now.flagged_count


def test_what_was_not_noted_has_a_level_of_its_own(record: QuarterRecord) -> None:
    assert "not noted" in {row.level for row in record.level_rows("camera")}


def test_a_slot_read_twice_shows_once_with_its_count(warehouse: Warehouse) -> None:
    warehouse.execute("begin transaction")
    try:
        for table in ("normalise.measure", "screening.result"):
            warehouse.execute(
                f"insert into {table} select * replace (999 as reading_id) from {table} "
                "where reading_id = 47"
            )
        slots = [slot for slot in collect(warehouse, LAST).slots if slot.reading_count > 1]
    finally:
        warehouse.execute("rollback")
    assert [(slot.position, slot.reading_count) for slot in slots] == [(7, 2)]


@pytest.fixture(scope="module")
def fitted(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Warehouse]:
    path = tmp_path_factory.mktemp("fitted") / "fleet.duckdb"
    make_store(Path(path))
    with open_store(path, read_only=True) as store:
        yield store


def test_band_meets_the_verdict(fitted: Warehouse) -> None:
    """At a reading's own load the band is what the reading was judged by, for every reading."""
    verdicts = fitted.fetch(
        "select reading_id, load_fraction, expected_rise_k, lower_k, upper_k, heat_ratio, rise_k "
        "from screening.result where expected_rise_k is not null and load_fraction > 0"
    )
    rows = fitted.rows(
        "marts.quarter_case_band",
        reading_ids=[row[0] for row in verdicts],
        most_load=MOST_LOAD,
        step=LOAD_STEP,
    )
    band = {(row[0], round(row[1] / LOAD_STEP)): row[2:] for row in rows}
    cases = fitted.rows("marts.quarter_case", reading_ids=[row[0] for row in verdicts])
    names = [field.name for field in fields(Case)]
    parts = {row[0]: row[names.index("usual_load_k")] for row in cases}
    compared = 0
    for reading_id, load, expected, lower, upper, ratio, rise in verdicts:
        step = round(load / LOAD_STEP)
        if abs(step * LOAD_STEP - load) > 1e-9:
            continue
        load_rise, *limits = band[reading_id, step]
        assert limits == pytest.approx([expected, lower, upper], abs=1e-6)
        assert (rise - expected + load_rise) / load_rise == pytest.approx(ratio, abs=1e-6)
        if abs(ratio - 1.0) > 0.01:
            assert parts[reading_id] == pytest.approx(load_rise, abs=1e-5)
        compared += 1
    assert compared > 50
