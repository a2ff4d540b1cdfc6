"""What must hold whatever happens: old state after a kill, hashes, counts in the store."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from analytics.errors import StoreError
from analytics.ingest import stages
from analytics.warehouse import Warehouse, open_store
from tests.ingest.desk import only, panel, take, write

ENDLESS = """
import sys, time
from pathlib import Path
from analytics.ingest import stages
from analytics.ingest.load import ingest
from analytics.warehouse import open_store

def wait(*words, **more):
    print("in the middle", flush=True)
    time.sleep(60)

stages.mark = wait
with open_store(sys.argv[1]) as warehouse:
    ingest(warehouse, [Path(sys.argv[2])])
"""


def test_a_kill_in_the_middle_leaves_the_old_state(tmp_path: Path) -> None:
    store = tmp_path / "firm.duckdb"
    with open_store(store) as warehouse:
        take(warehouse, write(tmp_path / "a.csv", panel()))
    sheet = write(tmp_path / "b.csv", panel(inspection_id="V2"))
    words = [sys.executable, "-c", ENDLESS, str(store), str(sheet)]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "in the middle\n"
        os.kill(process.pid, signal.SIGKILL)
    start = time.monotonic()
    with open_store(store) as warehouse:
        assert time.monotonic() - start < 5
        assert warehouse.fetch("select count(*) from records.reading") == [(8,)]
        assert warehouse.fetch("select count(*) from records.source_file") == [(1,)]
        assert only(take(warehouse, sheet)).kept == 8


def test_an_error_in_one_file_leaves_it_out_whole(
    warehouse: Warehouse, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*words: object, **more: object) -> None:
        raise StoreError("The disk is full.")

    monkeypatch.setattr(stages, "mark", fail)
    with pytest.raises(StoreError, match="disk"):
        take(warehouse, write(tmp_path / "a.csv", panel()))
    monkeypatch.undo()
    assert warehouse.fetch("select count(*) from records.reading") == [(0,)]
    assert only(take(warehouse, tmp_path / "a.csv")).kept == 8


def test_rows_that_do_not_add_up_are_an_error() -> None:
    stages.check_sum(10, 7, 2, 1)
    with pytest.raises(StoreError, match="add up"):
        stages.check_sum(10, 7, 1, 1)


def test_hashes_of_another_database_version_are_renewed(
    warehouse: Warehouse, tmp_path: Path
) -> None:
    take(warehouse, write(tmp_path / "a.csv", panel()))
    warehouse.execute("update records.reading set content_hash = 7")
    warehouse.execute("update records.file_print set hash_probe = 7")
    grown = only(take(warehouse, write(tmp_path / "b.csv", panel(9))))
    assert (grown.kept, grown.repeated) == (1, 8)


def test_the_files_row_tells_what_the_report_told(warehouse: Warehouse, tmp_path: Path) -> None:
    rows = [*panel(5), panel(5)[0], panel(1)[0] | {"rated_a": "?"}]
    file = only(take(warehouse, write(tmp_path / "a.csv", rows)))
    counts = "rows_read, rows_kept, rows_repeated, rows_quarantined, rows_superseding"
    assert warehouse.fetch(f"select {counts} from records.source_file") == [
        (file.read, file.kept, file.repeated, file.quarantined, file.superseding)
    ]
    assert (file.read, file.kept, file.repeated, file.quarantined) == (7, 5, 1, 1)


def test_a_known_file_is_known_at_once(warehouse: Warehouse, tmp_path: Path) -> None:
    sheet = write(tmp_path / "a.csv", panel(40) * 200)
    take(warehouse, sheet)
    start = time.perf_counter()
    assert only(take(warehouse, sheet)).status == "known"
    assert time.perf_counter() - start < 0.2
    sheet.write_bytes(sheet.read_bytes().replace(b"2026-03-02", b"2026-03-03"))
    assert only(take(warehouse, sheet)).status == "kept"
