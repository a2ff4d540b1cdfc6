"""A backup is the store again, or it is nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from analytics import backup
from analytics.errors import StoreError, UsageError
from analytics.warehouse import Warehouse, open_store
from tests.cli.fleet import make_store


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return make_store(tmp_path / "fleet 1.duckdb", is_screened=False)


def test_a_copy_holds_every_row(store: Path, tmp_path: Path) -> None:
    out = tmp_path / "it's a copy.duckdb"
    with open_store(store, read_only=True) as warehouse:
        result = backup.back_up(warehouse, out)
    assert result.size_bytes == out.stat().st_size
    with open_store(out) as copy:
        rows = copy.fetch("select count(*), sum(device_degc) from records.reading")
    with open_store(store) as warehouse:
        assert rows == warehouse.fetch("select count(*), sum(device_degc) from records.reading")
    assert "192" in result.lines()[0] or result.row_count > 192


def test_a_copy_that_differs_is_thrown_away(
    store: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "copy.duckdb"
    with open_store(store, read_only=True) as warehouse:
        backup.back_up(warehouse, out)
        before = out.read_bytes()

        def broken(source: Warehouse, draft: Path) -> None:
            copy(source, draft)
            with open_store(draft) as target:
                target.execute("update records.reading set device_degc = 0 where reading_id = 5")

        copy = backup._copy
        monkeypatch.setattr(backup, "_copy", broken)
        with pytest.raises(StoreError, match=r"differs from the store in records\.reading"):
            backup.back_up(warehouse, out)
    assert out.read_bytes() == before
    assert {p.name for p in tmp_path.iterdir()} == {"fleet 1.duckdb", "copy.duckdb"}


def test_nothing_else_is_overwritten(store: Path, tmp_path: Path) -> None:
    other = tmp_path / "notes.txt"
    other.write_text("a shopping list")
    with open_store(store, read_only=True) as warehouse:
        with pytest.raises(UsageError, match="no store"):
            backup.back_up(warehouse, other)
        with pytest.raises(UsageError, match="the store itself"):
            backup.back_up(warehouse, store)
        with pytest.raises(StoreError, match="cannot be called"):
            backup.back_up(warehouse, tmp_path / "records.duckdb")
    assert other.read_text() == "a shopping list"


def test_work_tables_are_not_copied(store: Path, tmp_path: Path) -> None:
    with open_store(store, read_only=True) as warehouse:
        warehouse.execute("create table fitting.scratch as select 1 as a")
        backup.back_up(warehouse, tmp_path / "copy.duckdb")
    with open_store(tmp_path / "copy.duckdb") as copy:
        assert not copy.has_table("fitting.scratch")
        assert not copy.has_table("main.scratch")
