"""The store under hard use: wrong files, newer files, two programs at once, a killed writer."""

from __future__ import annotations

import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import duckdb
import pytest

from analytics import querybook
from analytics.errors import QueryError, StoreBusyError, StoreError
from analytics.warehouse import STAGES, Warehouse, open_store

HOLD = """
import sys
from analytics.warehouse import open_store
with open_store(sys.argv[1], read_only=sys.argv[2] == "reads") as warehouse:
    if sys.argv[2] == "writes":
        warehouse.execute("begin transaction")
        warehouse.execute("insert into records.recheck values (1, null, 'half', '')")
    print("ready", flush=True)
    sys.stdin.readline()
"""


@contextmanager
def _holder(path: Path, how: str) -> Iterator[subprocess.Popen[str]]:
    """Run another program that holds the store open until it is told to end."""
    words = [sys.executable, "-c", HOLD, str(path), how]
    with subprocess.Popen(
        words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
        try:
            yield process
        finally:
            process.kill()


def _ledger(path: Path) -> list[tuple[object, ...]]:
    with open_store(path, read_only=True) as warehouse:
        return warehouse.fetch("select code from records.recheck order by all")


@pytest.fixture
def store(tmp_path: Path) -> Path:
    path = tmp_path / "fleet.duckdb"
    with open_store(path) as warehouse, warehouse.transaction():
        warehouse.execute("insert into records.recheck values (1, null, 'whole', '')")
    return path


@pytest.mark.parametrize("read_only", [False, True])
def test_while_one_writes_others_are_told(store: Path, read_only: bool) -> None:
    with _holder(store, "writes") as process:
        with pytest.raises(StoreBusyError, match="in use by another program") as caught:
            open_store(store, read_only=read_only)
        assert f"process {process.pid}" in str(caught.value)
        assert "Wait until it has finished" in caught.value.remedy


def test_the_command_is_told_too(store: Path) -> None:
    words = [sys.executable, "-m", "analytics.cli.main", "--store", str(store)]
    with _holder(store, "writes"):
        for command in (["fit"], ["sql", "select 1"]):
            done = subprocess.run([*words, *command], capture_output=True, text=True, check=False)
            assert done.returncode == 1
            assert "in use by another program" in done.stderr
            assert "Traceback" not in done.stderr


def test_a_reader_holds_off_a_writer_and_no_reader(store: Path) -> None:
    with _holder(store, "reads"):
        assert _ledger(store) == [("whole",)]
        with pytest.raises(StoreBusyError):
            open_store(store)


def test_a_killed_writer_leaves_the_old_state(store: Path) -> None:
    with _holder(store, "writes") as process:
        process.send_signal(signal.SIGKILL)
        process.wait(timeout=30)
    assert _ledger(store) == [("whole",)]
    with open_store(store) as warehouse, warehouse.transaction():
        warehouse.execute("insert into records.recheck values (1, null, 'later', '')")
    assert _ledger(store) == [("later",), ("whole",)]


def _half_and_fail(warehouse: Warehouse) -> None:
    with warehouse.transaction():
        warehouse.execute("insert into records.recheck values (1, null, 'half', '')")
        warehouse.execute("select * from nowhere")


def test_an_error_rolls_back(store: Path) -> None:
    with open_store(store) as warehouse:
        with pytest.raises(QueryError):
            _half_and_fail(warehouse)
        assert warehouse.fetch("select count(*) from records.recheck") == [(1,)]


def test_a_newer_store_is_refused_and_untouched(store: Path) -> None:
    with open_store(store) as warehouse:
        warehouse.execute("insert into records.schema_version values (9999, current_timestamp)")
    before = store.read_bytes()
    for read_only in (False, True):
        with pytest.raises(StoreError, match="written by a newer Loadrise"):
            open_store(store, read_only=read_only)
    assert store.read_bytes() == before


def test_an_older_store_is_brought_forward_once(tmp_path: Path) -> None:
    path = tmp_path / "old.duckdb"
    steps = [sql for _, sql in querybook.statements("migrations")]
    with duckdb.connect(str(path)) as connection:
        for sql in steps[:-1]:
            connection.execute(sql)
        old = len(steps) - 1
        connection.execute(f"insert into records.schema_version select {old}, current_timestamp")
    with pytest.raises(StoreError, match="older schema"):
        open_store(path, read_only=True)
    for _ in range(2):
        with open_store(path) as warehouse:
            found = warehouse.fetch("select version from records.schema_version order by version")
    assert found == [(old,), (old + 1,)]


def test_a_folder_is_no_store(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="is a folder"):
        open_store(tmp_path)


def test_a_text_file_is_no_store_and_stays(tmp_path: Path) -> None:
    path = tmp_path / "notes.duckdb"
    path.write_text("a shopping list")
    with pytest.raises(StoreError, match="no DuckDB file"):
        open_store(path)
    assert path.read_text() == "a shopping list"


def test_another_programs_database_is_no_store_and_stays(tmp_path: Path) -> None:
    path = tmp_path / "other.duckdb"
    with duckdb.connect(str(path)) as connection:
        connection.execute("create table mine as select 1 as a")
    with pytest.raises(StoreError, match="no Loadrise store"):
        open_store(path)
    with duckdb.connect(str(path)) as connection:
        assert connection.execute("show tables").fetchall() == [("mine",)]


@pytest.mark.parametrize("stem", [*STAGES, "fitting", "Main", "temp"])
def test_a_store_is_not_called_like_a_schema(tmp_path: Path, stem: str) -> None:
    with pytest.raises(StoreError, match="cannot be called"):
        open_store(tmp_path / f"{stem}.duckdb")
    assert list(tmp_path.iterdir()) == []


def test_a_file_in_the_way_of_the_folder(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(StoreError, match="cannot be made"):
        open_store(tmp_path / "file" / "fleet.duckdb")


def test_reading_makes_no_store(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="There is no store"):
        open_store(tmp_path / "none.duckdb", read_only=True)
    assert list(tmp_path.iterdir()) == []


def test_a_reader_cannot_write(store: Path) -> None:
    with (
        open_store(store, read_only=True) as warehouse,
        pytest.raises(QueryError, match="read-only"),
    ):
        warehouse.execute("insert into records.recheck values (1, null, 'no', '')")


@pytest.mark.parametrize("read_only", [False, True])
def test_lost_rows_are_told(store: Path, read_only: bool) -> None:
    with duckdb.connect(str(store)) as connection:
        connection.execute("delete from records.recheck")
    with pytest.raises(StoreError, match=r"damaged: recheck has 0 rows of 1\."):
        open_store(store, read_only=read_only)


def test_the_ledger_follows_every_transaction(store: Path) -> None:
    with open_store(store) as warehouse:
        with warehouse.transaction():
            warehouse.execute("insert into records.recheck values (2, null, 'more', '')")
        found = warehouse.fetch("select * from records.row_ledger where row_count > 0")
    assert found == [("recheck", 2)]
