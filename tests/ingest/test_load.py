"""Rows in, rows kept: counts, repetitions, corrections, dry runs, folders."""

from __future__ import annotations

from pathlib import Path

import pytest

from analytics.errors import UsageError
from analytics.ingest.load import ingest
from analytics.warehouse import Warehouse
from tests.ingest.desk import GOOD, codes, only, panel, readings, take, write


def test_a_clean_sheet_is_kept_whole(warehouse: Warehouse, tmp_path: Path) -> None:
    report = only(take(warehouse, write(tmp_path / "a.csv", panel())))
    assert (report.status, report.read, report.kept, report.marked) == ("kept", 8, 8, 0)
    first = readings(warehouse, "line, ambient_degc, device_degc, rated_a, poles, current_a")[0]
    # 70 °F and 77 °F: the Fahrenheit scale by definition (NIST SP 811, B.8)
    assert first == pytest.approx((2, 21.111111111, 25.0, 20.0, 1, 8.0))
    assert codes(warehouse) == {}


def test_only_the_bare_name_of_the_file_is_stored(warehouse: Warehouse, tmp_path: Path) -> None:
    take(warehouse, write(tmp_path / "a.csv", panel()))
    names = warehouse.fetch("select file_name, column_map from records.source_file")
    assert names[0][0] == "a.csv"
    assert str(tmp_path) not in str(names)


def test_the_same_file_again_changes_nothing(warehouse: Warehouse, tmp_path: Path) -> None:
    sheet = write(tmp_path / "a.csv", panel())
    take(warehouse, sheet)
    copy = tmp_path / "copy.csv"
    copy.write_bytes(sheet.read_bytes())
    again = take(warehouse, sheet, copy)
    assert [file.status for file in again.files] == ["known", "known"]
    assert again.exit_code == 0
    assert warehouse.fetch("select count(*) from records.reading") == [(8,)]


def test_a_file_that_grew_adds_only_its_new_rows(warehouse: Warehouse, tmp_path: Path) -> None:
    take(warehouse, write(tmp_path / "a.csv", panel(8)))
    grown = only(take(warehouse, write(tmp_path / "a.csv", panel(10))))
    assert (grown.read, grown.kept, grown.repeated) == (10, 2, 8)
    assert len(readings(warehouse, "position")) == 10


def test_a_corrected_row_supersedes_and_history_stays(warehouse: Warehouse, tmp_path: Path) -> None:
    take(warehouse, write(tmp_path / "a.csv", panel()))
    better = [GOOD | {"position": 3, "device_temp": "95"}]
    report = only(take(warehouse, write(tmp_path / "b.csv", better)))
    assert (report.kept, report.superseding) == (1, 1)
    both = readings(warehouse, "is_current, round(device_degc, 1)", "position = 3")
    assert both == [(False, 26.1), (True, 35.0)]
    # the first file with one more row: its old version of slot 3 is known, not newer
    grown = only(take(warehouse, write(tmp_path / "a.csv", panel(9))))
    assert (grown.repeated, grown.kept, grown.superseding) == (8, 1, 0)
    assert readings(warehouse, "round(device_degc, 1)", "position = 3 and is_current") == [(35.0,)]


def test_the_later_of_two_rows_for_one_slot_wins_and_is_marked(
    warehouse: Warehouse, tmp_path: Path
) -> None:
    rows = [*panel(6), panel(6)[2], GOOD | {"position": 4, "device_temp": "90"}]
    report = only(take(warehouse, write(tmp_path / "a.csv", rows)))
    assert (report.read, report.kept, report.repeated, report.superseding) == (8, 7, 1, 1)
    assert codes(warehouse)[9] == {"conflicting_rows"}
    assert readings(warehouse, "line", "position = 4 and is_current") == [(9,)]


def test_one_value_in_two_units_is_one_row(warehouse: Warehouse, tmp_path: Path) -> None:
    take(warehouse, write(tmp_path / "f.csv", [GOOD | {"device_temp": "86", "ambient_temp": "77"}]))
    same = [GOOD | {"device_temp": "30", "ambient_temp": "25", "temp_unit": "degC"}]
    report = only(take(warehouse, write(tmp_path / "c.csv", same)))
    assert (report.kept, report.repeated) == (0, 1)


def test_a_dry_run_tells_all_and_keeps_nothing(warehouse: Warehouse, tmp_path: Path) -> None:
    rows = [*panel(5), GOOD | {"position": 6, "device_temp": "hot"}]
    report = only(take(warehouse, write(tmp_path / "a.csv", rows), dry_run=True))
    assert (report.read, report.kept, report.quarantined) == (6, 5, 1)
    assert [(r.line, r.column, r.cell, r.code) for r in report.remarks] == [
        (7, "device_temp", "hot", "not_a_number")
    ]
    for table in ("reading", "quarantine", "source_file", "recheck"):
        assert warehouse.fetch(f"select count(*) from records.{table}") == [(0,)]


def test_a_folder_with_one_bad_file(warehouse: Warehouse, tmp_path: Path) -> None:
    inner = tmp_path / "2026" / "march"
    inner.mkdir(parents=True)
    write(inner / "b.csv", panel(panel_id="P2"))
    write(tmp_path / "a.csv", panel())
    (tmp_path / "broken.parquet").write_bytes(b"PAR1 and then nothing")
    (tmp_path / "photo.jpg").write_bytes(b"\xff\xd8")
    report = take(warehouse, tmp_path)
    assert {f.name: f.status for f in report.files} == {
        "b.csv": "kept", "a.csv": "kept", "broken.parquet": "failed"
    }  # fmt: skip
    assert report.exit_code == 1
    assert report.kept == 16
    assert "photo.jpg" in report.notices[0].sentence


def test_quarantined_rows_alone_are_no_failure(warehouse: Warehouse, tmp_path: Path) -> None:
    rows = [*panel(4), GOOD | {"rated_a": ""}]
    assert take(warehouse, write(tmp_path / "a.csv", rows)).exit_code == 0
    nothing = take(warehouse, write(tmp_path / "b.csv", [GOOD | {"rated_a": ""}]))
    assert nothing.exit_code == 1


def test_a_path_that_is_not_there(warehouse: Warehouse, tmp_path: Path) -> None:
    with pytest.raises(UsageError, match=r"nowhere\.csv"):
        ingest(warehouse, [tmp_path / "nowhere.csv"])


def test_findings_are_told_from_readings_by_their_header(
    warehouse: Warehouse, tmp_path: Path
) -> None:
    path = tmp_path / "f.csv"
    path.write_text(
        "inspection_id,panel_id,position,found_at,finding,examined_by_licensed,note\n"
        "V1,P1,3,2026-03-09,loose lug,yes,\n"
        "V1,P1,5,2026-03-09,NFF,no,\n"
        "V1,P1,5,2026-03-09,NFF,no,\n"
        "V1,P1,7,2026-03-09,gremlins,yes,\n"
        "V1,P1,9,some day,overloaded,perhaps,\n"
    )
    report = only(take(warehouse, path))
    assert (report.holds, report.read, report.kept) == ("finding", 5, 3)
    assert (report.repeated, report.quarantined) == (1, 1)
    found = warehouse.fetch(
        "select position, finding, examined_by_licensed from records.finding order by line"
    )
    assert found == [
        (3, "loose_connection", True),
        (5, "nothing_found", False),
        (9, "overload", None),
    ]
    assert codes(warehouse) == {5: {"unknown_finding"}}
    told = next(n for n in report.notices if n.code == "finding_cell_not_read")
    assert "line 6, examined_by_licensed “perhaps”; line 6, found_at “some day”" in told.sentence


def test_columns_nobody_asked_for_are_not_stored(warehouse: Warehouse, tmp_path: Path) -> None:
    rows = [GOOD | {"client_name": "Quillfeather", "address": "9 Nowhere Lane", "rated_a": "x"}]
    path = tmp_path / "a.csv"
    write(path, [*panel(3), *rows], ("client_name", *GOOD, "address"))
    report = only(take(warehouse, path))
    assert report.ignored == ("client_name", "address")
    tables = warehouse.fetch("select table_name from duckdb_tables() where schema_name = 'records'")
    for (table,) in tables:
        stored = str(warehouse.fetch(f"select * from records.{table}"))
        assert "Quillfeather" not in stored
        assert "Nowhere" not in stored
