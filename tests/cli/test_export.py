"""Exports read back by the libraries people use, whole, in order, guarded, with the caution."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pyarrow.parquet as pq
import pytest

from analytics.cli.export import SUBJECTS
from analytics.cli.output import guarded
from analytics.columns import READING_COLUMNS, SCREENING_COLUMNS
from analytics.errors import NotEnoughDataError
from analytics.export import SUBJECTS as KNOWN
from analytics.export import export
from analytics.notices import SHORT_CAUTION
from analytics.warehouse import open_store
from tests.cli.conftest import Run
from tests.cli.fleet import make_store


def test_the_command_knows_the_subjects() -> None:
    assert tuple(KNOWN) == SUBJECTS


def test_screening_has_the_columns_of_the_nomenclature(run: Run, fleet: Path) -> None:
    assert run("export", "screening", "--out", "s.parquet").returncode == 0
    frame = pd.read_parquet(fleet / "s.parquet")
    assert list(frame.columns) == [column.name for column in SCREENING_COLUMNS]
    keys = frame[["inspection_id", "panel_id", "position"]]
    assert len(frame) == 192
    assert keys.equals(keys.sort_values(list(keys.columns), ignore_index=True))


def test_csv_holds_the_same_rows_and_the_caution(run: Run, fleet: Path) -> None:
    for kind in ("csv", "parquet"):
        assert run("export", "screening", "--out", f"s.{kind}").returncode == 0
    sheet, exact = pd.read_csv(fleet / "s.csv"), pd.read_parquet(fleet / "s.parquet")
    assert set(sheet.pop("caution")) == {SHORT_CAUTION}
    pd.testing.assert_frame_equal(sheet, exact, check_dtype=False, rtol=1e-12)
    metadata = pq.read_metadata(fleet / "s.parquet").metadata
    assert metadata[b"caution"].decode() == SHORT_CAUTION


def test_same_store_same_bytes(run: Run, fleet: Path) -> None:
    for kind in ("csv", "parquet"):
        for name in ("one", "two"):
            run("export", "screening", "--out", f"{name}.{kind}")
        assert (fleet / f"one.{kind}").read_bytes() == (fleet / f"two.{kind}").read_bytes()


def test_readings_in_si_under_their_names(run: Run, fleet: Path) -> None:
    run("export", "readings", "--out", "r.parquet")
    frame = pd.read_parquet(fleet / "r.parquet")
    names = [column.name for column in READING_COLUMNS]
    assert list(frame.columns) == [*names, "file_name", "sheet", "line"]


def test_text_is_no_formula_and_numbers_stay(run: Run, fleet: Path) -> None:
    with open_store(fleet / "fleet.duckdb") as warehouse, warehouse.transaction():
        for i, text in enumerate(("+1", "-1", "@a", "\tb", "\rc", "plain", "a=b")):
            warehouse.execute(
                "insert into records.quarantine values (1, null, $line, null, $text, 'c', 's', '')",
                {"line": 100 + i, "text": text},
            )
        warehouse.execute("update records.reading set ambient_degc = -5.5 where reading_id = 0")
    run("export", "quarantine", "--out", "q.csv")
    cells = pd.read_csv(fleet / "q.csv")["cell"].tolist()
    assert cells == ["'=2+3", "'+1", "'-1", "'@a", "'\tb", "'\rc", "plain", "a=b"]
    run("export", "readings", "--out", "r.csv")
    frame = pd.read_csv(fleet / "r.csv")
    assert frame.loc[0, "ambient_degc"] == -5.5
    assert frame.loc[0, "note"] == "'=1+1"


def test_a_failed_export_leaves_the_older_file(tmp_path: Path) -> None:
    make_store(tmp_path / "new.duckdb", is_screened=False)
    older = tmp_path / "s.csv"
    older.write_text("older")
    with (
        open_store(tmp_path / "new.duckdb", read_only=True) as warehouse,
        pytest.raises(NotEnoughDataError, match="screened yet"),
    ):
        export(warehouse, "screening", older)
    assert older.read_text() == "older"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["new.duckdb", "s.csv"]


def test_the_guard_of_printed_rows_is_that_of_files() -> None:
    cells = [f"{sign}1" for sign in "=+-@\t\r\n＝＋－＠'a 5\"~"] + ["", "a=b"]
    with open_store() as warehouse:
        found = [warehouse.fetch("select guarded_cell($cell)", {"cell": c})[0][0] for c in cells]
    assert found == [guarded(cell) for cell in cells]
    assert found[:11] == [f"'{cell}" for cell in cells[:11]]
    assert found[11:] == cells[11:]
