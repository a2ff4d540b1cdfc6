"""Files as they come: encodings, delimiters, titles, blank lines, broken and misnamed ones."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest
from openpyxl import Workbook

from analytics.ingest import encoding, slices
from analytics.warehouse import Warehouse
from tests.ingest.desk import GOOD, HEADERS, codes, only, panel, readings, take, text, write


@pytest.mark.parametrize("name", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
def test_encodings(warehouse: Warehouse, tmp_path: Path, name: str) -> None:
    rows = panel(6, note="brûlé près du décalage, 40 °C", ambient_temp="70 °F")
    path = tmp_path / "a.csv"
    path.write_bytes(text(rows).encode(name))
    report = only(take(warehouse, path))
    assert (report.read, report.kept) == (6, 6)
    assert {note for (note,) in readings(warehouse, "note")} == {rows[0]["note"]}


def test_a_stray_byte_in_utf8_text_is_no_loss(warehouse: Warehouse, tmp_path: Path) -> None:
    rows = [*panel(40, note="70 °F"), GOOD | {"position": 41, "note": "@"}]
    path = tmp_path / "a.csv"
    path.write_bytes(text(rows).encode().replace(b"@", b"caf\xe9"))
    report = only(take(warehouse, path))
    assert report.kept == 41
    assert readings(warehouse, "note", "position = 41") == [("café",)]
    assert "mixed_encoding" in {notice.code for notice in report.notices}


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_delimiters(warehouse: Warehouse, tmp_path: Path, delimiter: str) -> None:
    path = tmp_path / "a.txt"
    path.write_text(text(panel(5, note="one, two; three"), delimiter=delimiter))
    assert only(take(warehouse, path)).kept == 5


def test_titles_blank_lines_and_a_row_of_units(warehouse: Warehouse, tmp_path: Path) -> None:
    units = ",".join("°F" if h.endswith("_temp") else "" for h in HEADERS)
    head, *body = text(panel(4, temp_unit="")).splitlines()
    lines = [
        "Scan of the week,,,",
        "",
        "kept by hand",
        head,
        units,
        "",
        *body[:2],
        "",
        ",,,",
        *body[2:],
    ]
    path = tmp_path / "a.csv"
    path.write_text("\r\n".join(lines) + "\r\n\r\n")
    report = only(take(warehouse, path))
    assert (report.read, report.kept) == (4, 4)
    assert readings(warehouse, "line, round(ambient_degc, 3)")[0] == (7, 21.111)
    assert [line for (line,) in readings(warehouse, "line")] == [7, 8, 11, 12]


def test_quoted_line_ends_nul_bytes_and_controls(warehouse: Warehouse, tmp_path: Path) -> None:
    rows = panel(4)
    rows[1]["note"] = 'said "hot",\nthen left'
    rows[2]["note"] = "bell\x07 and nul\0"
    path = tmp_path / "a.csv"
    path.write_bytes(text(rows).encode())
    report = only(take(warehouse, path))
    assert (report.read, report.kept) == (4, 4)
    notes = readings(warehouse, "line, note")
    assert notes[1] == (3, 'said "hot",\nthen left')
    assert notes[2] == (5, "bell and nul")


def test_ragged_rows_are_told(warehouse: Warehouse, tmp_path: Path) -> None:
    head, *body = text(panel(30)).splitlines()
    body[3] += ",more,and more"
    body[7] = ",".join(body[7].split(",")[:13])
    path = tmp_path / "a.csv"
    path.write_text("\n".join([head, *body]) + "\n")
    report = only(take(warehouse, path))
    assert (report.read, report.kept, report.quarantined) == (30, 29, 1)
    assert codes(warehouse) == {5: {"too_many_cells"}, 9: {"short_row"}}
    assert "2 cell(s)" in str(warehouse.fetch("select cell from records.quarantine"))
    assert "and more" not in str(warehouse.fetch("from records.quarantine"))


def test_a_quotation_mark_that_never_closes_costs_one_row(
    warehouse: Warehouse, tmp_path: Path
) -> None:
    head, *body = text(panel(80)).splitlines()
    body[4] = '"' + body[4]
    path = tmp_path / "a.csv"
    path.write_text("\n".join([head, *body]) + "\n")
    report = only(take(warehouse, path))
    assert (report.read, report.kept, report.quarantined) == (80, 79, 1)
    assert codes(warehouse) == {6: {"unclosed_quote"}}


def test_long_and_hostile_notes_stay_text(warehouse: Warehouse, tmp_path: Path) -> None:
    note = "'); drop table records.reading; --" + "x" * 10_000
    report = only(take(warehouse, write(tmp_path / "a.csv", panel(3, note=note))))
    assert report.kept == 3
    assert readings(warehouse, "note")[0] == (note,)


def test_two_hundred_columns(warehouse: Warehouse, tmp_path: Path) -> None:
    extra = [f"extra {n}" for n in range(200)]
    rows = [row | dict.fromkeys(extra, "x") for row in panel(5)]
    report = only(
        take(warehouse, write(tmp_path / "a.csv", rows, (*extra[:150], *HEADERS, *extra[150:])))
    )
    assert report.kept == 5
    assert len(report.ignored) == 200


@pytest.mark.parametrize("content", [b"", b"\n\n", b"\xff\xfe\n\0"])
def test_empty_files(warehouse: Warehouse, tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "a.csv"
    path.write_bytes(content)
    report = take(warehouse, path)
    assert only(report).status == "failed"
    assert "empty" in only(report).error
    assert report.exit_code == 1


def test_a_header_and_no_rows(warehouse: Warehouse, tmp_path: Path) -> None:
    report = take(warehouse, write(tmp_path / "a.csv", []))
    assert (only(report).status, report.read, report.exit_code) == ("kept", 0, 0)
    assert "no_rows" in {notice.code for notice in only(report).notices}


def test_no_header_at_all(warehouse: Warehouse, tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text("milk,2\nbread,1\neggs,12\n")
    report = only(take(warehouse, path))
    assert report.status == "failed"
    assert "milk | 2" in report.error


def _frame() -> pd.DataFrame:
    frame = pd.DataFrame(panel(5))
    for name in ("ambient_temp", "device_temp", "rated_a", "current_a", "position"):
        frame[name] = pd.to_numeric(frame[name])
    frame["inspected_at"] = pd.to_datetime(frame["inspected_at"])
    frame["termination_temp"] = float("nan")
    return frame


def test_parquet_and_a_torn_one(warehouse: Warehouse, tmp_path: Path) -> None:
    _frame().to_parquet(tmp_path / "a.parquet")
    assert only(take(warehouse, tmp_path / "a.parquet")).kept == 5
    assert readings(warehouse, "line, current_a, inspected_at::varchar")[0] == (
        1, 8.0, "2026-03-02 10:30:00"
    )  # fmt: skip
    whole = (tmp_path / "a.parquet").read_bytes()
    (tmp_path / "torn.parquet").write_bytes(whole[: len(whole) // 2])
    torn = only(take(warehouse, tmp_path / "torn.parquet"))
    assert torn.status == "failed"
    assert "Parquet" in torn.error


def test_the_wrong_ending_does_not_matter(warehouse: Warehouse, tmp_path: Path) -> None:
    _frame().to_parquet(tmp_path / "a.csv")
    report = only(take(warehouse, tmp_path / "a.csv"))
    assert report.kept == 5
    assert "wrong_extension" in {notice.code for notice in report.notices}


def test_a_workbook_with_merged_cells_and_several_sheets(
    warehouse: Warehouse, tmp_path: Path
) -> None:
    book = Workbook()
    first = book.active
    assert first is not None
    first.title = "North"
    first.append(["Panel scans", None])
    first.merge_cells("A1:F1")
    first.append(list(HEADERS))
    for row in panel(4):
        first.append([row.get(name) for name in HEADERS])
    for number in range(4, 7):
        first.cell(number, 1).value = None
    first.merge_cells("A3:A6")
    other = book.create_sheet("South")
    other.append(list(HEADERS))
    for row in panel(3, inspection_id=1007, inspected_at=pd.Timestamp(2026, 3, 2, 9, 5)):
        other.append([row.get(name) for name in HEADERS])
    book.create_sheet("Shopping").append(["milk", 2])
    book.save(tmp_path / "a.xlsx")
    report = only(take(warehouse, tmp_path / "a.xlsx"))
    assert (report.read, report.kept) == (7, 7)
    found = readings(warehouse, "sheet, line, inspection_id, inspected_at::varchar")
    assert found[3] == ("North", 6, "V1", "2026-03-02 10:30:00")
    assert found[4] == ("South", 2, "1007", "2026-03-02 09:05:00")
    assert "sheet_left_out" in {notice.code for notice in report.notices}


def test_a_damaged_workbook(warehouse: Warehouse, tmp_path: Path) -> None:
    (tmp_path / "a.xlsx").write_bytes(b"PK\x03\x04 no more of it")
    assert "workbook" in only(take(warehouse, tmp_path / "a.xlsx")).error


def test_large_text_goes_in_at_once_and_loses_nothing(
    warehouse: Warehouse, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Small blocks stand in for a large file: plain ones, one with trouble, one out of step."""
    from analytics.ingest import feed

    monkeypatch.setattr(feed, "LARGE_LINES", 10)
    blocks = encoding.blocks
    monkeypatch.setattr(encoding, "blocks", lambda p, n, c: blocks(p, n, c, 100))
    monkeypatch.setattr(slices, "SMALL_BYTES", 2000)
    rows = [row for visit in range(60) for row in panel(10, inspection_id=f"V{visit}")]
    for number in (13, 14, 250):
        rows[number] = rows[number] | {"device_temp": "hot"}
    rows[399] = rows[399] | {"current_a": "some"}
    rows[450] = rows[450] | {"note": "two\nlines"}
    lines = text(rows).splitlines()
    lines.insert(550, "")
    path = tmp_path / "a.csv"
    path.write_text("\n".join(lines) + "\n")
    report = only(take(warehouse, path))
    assert (report.read, report.kept, report.quarantined) == (600, 597, 3)
    assert codes(warehouse) == {
        15: {"not_a_number"}, 16: {"not_a_number"}, 252: {"not_a_number"}, 401: {"cell_not_read"}
    }  # fmt: skip
    found = readings(warehouse, "line, inspection_id, position")
    lines_of = {number: line for line, number in zip(
        (line for line, *_ in found), (int(v[1:]) * 10 + p - 1 for _, v, p in found), strict=True
    )}  # fmt: skip
    assert lines_of[0] == 2
    assert lines_of[449] == 451
    assert lines_of[451] == 454
    assert lines_of[599] == 603
    ids = warehouse.fetch("select count(distinct reading_id) from records.reading")
    assert ids == [(597,)]
