"""The CSV files beside the page: all there, linked, guarded, with the caution, the same numbers."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from analytics.notices import SHORT_CAUTION
from analytics.warehouse import Warehouse
from dashboards.pages.quarter import page
from dashboards.quarter import collect
from dashboards.quarter_tables import TABLES, write_tables
from dashboards.render import render
from tests.gold.tables import LAST, small_fleet
from tests.gold.trends import trends


@pytest.fixture
def store() -> Iterator[Warehouse]:
    with small_fleet() as warehouse:
        yield warehouse


def _read(path: Path) -> list[dict[str, str]]:
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def test_every_table_is_there_and_linked(store: Warehouse, tmp_path: Path) -> None:
    record = collect(store, LAST, trends())
    folder = write_tables(store, record, tmp_path)
    assert folder == tmp_path / "2026Q3-tables"
    assert {one.name for one in folder.iterdir()} == {f"{one.name}.csv" for one in TABLES}
    text = render(page(record, "degF", folder.name))
    links = re.findall(r'<a href="(2026Q3-tables/[^"]*)"', text)
    assert len(links) == len(TABLES)
    assert all((tmp_path / link).is_file() for link in links)
    for path in folder.iterdir():
        with path.open(newline="", encoding="utf-8") as file:
            rows = list(csv.reader(file))
        assert rows[0][-1] == "caution"
        assert all(row[-1] == SHORT_CAUTION for row in rows[1:])
        assert len(rows[0]) == len(set(rows[0]))


def test_the_numbers_are_those_of_the_record(store: Warehouse, tmp_path: Path) -> None:
    record = collect(store, LAST, trends())
    folder = write_tables(store, record, tmp_path)
    cases = _read(folder / "cases.csv")
    assert [float(row["rise_k"]) for row in cases] == [one.rise_k for one in record.cases]
    limits = _read(folder / "limits.csv")
    assert [row["overload_is_out"] for row in limits] == ["false", "false", "true"]
    assert float(limits[2]["flagged_limit_high"]) == pytest.approx(0.4)
    (worse,) = _read(folder / "worse.csv")
    assert (worse["panel_id"], float(worse["change_k"])) == ("p9", 5.0)
    camera = next(row for row in _read(folder / "courses.csv") if row["quarter"] == "2025Q4")
    assert camera["change"] == ""


def test_a_table_without_rows_keeps_its_header(store: Warehouse, tmp_path: Path) -> None:
    record = collect(store, "2026Q1")
    folder = write_tables(store, record, tmp_path)
    assert _read(folder / "cases.csv") == []
    assert (folder / "cases.csv").read_text(encoding="utf-8").startswith("reading_id,visit_id,")
    again = write_tables(store, collect(store, "2026Q1"), tmp_path)
    assert {one.name for one in again.iterdir()} == {f"{one.name}.csv" for one in TABLES}


def test_no_cell_is_a_formula(store: Warehouse, tmp_path: Path) -> None:
    """OWASP, CSV Injection: cells that begin with = + - @, tab or carriage return."""
    for table, column in (("screening.result", "panel_id"), ("records.reading", "note")):
        store.execute(f"update {table} set {column} = '=cmd|''/c calc''!A' || {column}")
    store.execute("update normalise.measure set make = '@SUM(1)'")
    folder = write_tables(store, collect(store, LAST, trends()), tmp_path)
    for path in folder.iterdir():
        for row in _read(path):
            for name, cell in row.items():
                is_number = re.fullmatch(r"-?\d+(\.\d+)?(e-?\d+)?", cell)
                assert is_number or not re.match(r"[=+\-@\t\r]", cell), (path.name, name, cell)
    assert any(row["panel_id"].startswith("'=cmd") for row in _read(folder / "cases.csv"))
    assert any(row["level"] == "'@SUM(1)" for row in _read(folder / "shares.csv"))
