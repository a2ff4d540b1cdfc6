"""A file read anew with a better column map takes the place of its former reading."""

from __future__ import annotations

from pathlib import Path

from analytics.ingest.load import ingest
from analytics.warehouse import Warehouse, open_store
from tests.ingest.desk import GOOD, NOW, codes, only, panel, readings, take, write


def count(warehouse: Warehouse, table: str) -> int:
    return int(warehouse.fetch(f"select count(*) from records.{table}")[0][0])


def test_a_better_map_brings_in_what_was_rejected(tmp_path: Path) -> None:
    rows = [
        *panel(4),
        GOOD | {"position": 9, "device_class": "Combo"},
        GOOD | {"position": 10, "current_a": "some"},
    ]
    sheet, plan = write(tmp_path / "a.csv", rows), tmp_path / "firm.toml"
    with open_store(tmp_path / "firm.duckdb") as warehouse:
        first = only(take(warehouse, sheet))
        assert (first.kept, first.quarantined) == (5, 1)
        plan.write_text('[classes]\n"Combo" = "afci"\n')
        known = only(take(warehouse, sheet, column_map=plan))
        assert (known.status, "--again" in known.notices[0].sentence) == ("known", True)
        dry = only(take(warehouse, sheet, column_map=plan, again=True, dry_run=True))
        assert (dry.kept, count(warehouse, "reading"), count(warehouse, "quarantine")) == (6, 5, 1)
        again = only(take(warehouse, sheet, column_map=plan, again=True))
        assert (again.read, again.kept, again.repeated, again.quarantined) == (6, 6, 0, 0)
        assert codes(warehouse) == {7: {"cell_not_read"}}
        tables = ("reading", "quarantine", "recheck", "source_file", "file_print")
        assert [count(warehouse, table) for table in tables] == [6, 0, 1, 1, 1]
    with open_store(tmp_path / "firm.duckdb") as warehouse:  # the ledger of rows agrees
        assert only(take(warehouse, sheet)).status == "known"


def test_another_key_leaves_no_double(warehouse: Warehouse, tmp_path: Path) -> None:
    sheet, plan = write(tmp_path / "a.csv", panel(4)), tmp_path / "firm.toml"
    take(warehouse, sheet)
    plan.write_text('[columns]\ninspection_id = ["panel_id", "inspected_at"]\n')
    assert only(take(warehouse, sheet, column_map=plan, again=True)).kept == 4
    assert set(readings(warehouse, "inspection_id")) == {("P1 2026-03-02 10:30",)}


def test_a_row_of_another_file_is_in_force_again(warehouse: Warehouse, tmp_path: Path) -> None:
    take(warehouse, write(tmp_path / "a.csv", panel(2)))
    later = write(tmp_path / "b.csv", [GOOD | {"position": 1, "current_a": "9.5"}])
    assert only(take(warehouse, later)).superseding == 1
    plan = tmp_path / "firm.toml"
    plan.write_text('[constants]\ninspection_id = "V2"\n')
    ingest(warehouse, [later], column_map=plan, again=True, now=NOW)
    assert readings(warehouse, "inspection_id, position, current_a") == [
        ("V1", 1, 8.0), ("V1", 2, 8.0), ("V2", 1, 9.5),
    ]  # fmt: skip
