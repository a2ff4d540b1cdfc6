"""Signs that cannot be seen or steer a terminal are taken out of every kind of file, and told."""

from __future__ import annotations

import os
from pathlib import Path

import pandas as pd
import pytest

from analytics.warehouse import Warehouse
from tests.ingest.desk import only, panel, readings, take, write

ODD = "a\x1b[31m\u202eb\u200b\u2066c\u2069\x9bd\u00ad\ufeff\u061c e\u200df \x08"
CLEAN = "a[31mbcd e\u200df"
CONTROLS, UNSEEN = 3, 7


def _counts(notices: tuple[object, ...]) -> dict[str, int]:
    told = {getattr(one, "code", ""): getattr(one, "sentence", "") for one in notices}
    kinds = ("control_characters", "unseen_characters")
    return {kind: int(told[kind].split()[0]) for kind in kinds if kind in told}


@pytest.mark.parametrize("kind", ["csv", "xlsx", "parquet"])
def test_they_are_taken_out_and_counted(warehouse: Warehouse, tmp_path: Path, kind: str) -> None:
    path = tmp_path / f"a.{kind}"
    text = ODD.replace("\x1b", "\x7f").replace("\x08", "\x7f") if kind == "xlsx" else ODD
    rows = panel(3, note=text, panel_id=f"P{text}")
    if kind == "csv":
        write(path, rows)
    elif kind == "xlsx":
        _workbook(path, rows)
    else:
        pd.DataFrame(rows).astype(str).to_parquet(path)
    report = only(take(warehouse, path))
    assert (report.read, report.kept) == (3, 3)
    clean = CLEAN.replace("[31m", "\x7f[31m") + " \x7f" if kind == "xlsx" else CLEAN
    assert set(readings(warehouse, "note, panel_id")) == {(clean, f"P{clean}")}
    found = _counts(report.notices)
    controls = 1 if kind == "xlsx" else CONTROLS
    assert found == {"control_characters": 6 * controls, "unseen_characters": 6 * UNSEEN}


def _workbook(path: Path, rows: list[dict[str, object]]) -> None:
    from openpyxl import Workbook

    book = Workbook()
    assert book.active is not None
    book.active.append(list(rows[0]))
    for row in rows:
        book.active.append([str(cell) for cell in row.values()])
    book.save(path)


def test_ordinary_text_of_every_script_stays(warehouse: Warehouse, tmp_path: Path) -> None:
    note = "Größe 70 °F – naïve “quoted” שלום नमस्ते 数 👩\u200d🔧"
    report = only(take(warehouse, write(tmp_path / "a.csv", panel(3, note=note))))
    assert readings(warehouse, "note")[0] == (note,)
    assert _counts(report.notices) == {}


def test_blanks_of_every_kind_around_a_name_are_no_part_of_it(
    warehouse: Warehouse, tmp_path: Path
) -> None:
    rows = [
        row | {"panel_id": name}
        for row, name in zip(panel(4), ("\tP", "\r\nP", " P", "P"), strict=True)
    ]
    take(warehouse, write(tmp_path / "a.csv", [*rows, panel(5)[4] | {"make": "\t", "note": "\t-"}]))
    assert set(readings(warehouse, "panel_id")) == {("P",), ("P1",)}
    assert set(readings(warehouse, "make, note")) == {(None, None)}


def test_parquet_text_that_is_not_utf8_is_refused(warehouse: Warehouse, tmp_path: Path) -> None:
    import pyarrow as pa
    import pyarrow.parquet as pq

    table = pa.table(pd.DataFrame(panel(2)).astype(str))
    bad = pa.array([b"a\xff", b"b"], pa.binary()).view(pa.string())
    pq.write_table(table.append_column("make", bad), tmp_path / "a.parquet")
    report = only(take(warehouse, tmp_path / "a.parquet"))
    assert report.status == "failed"
    assert "Parquet" in report.error


def test_a_file_name_that_is_no_text_is_read_in(warehouse: Warehouse, tmp_path: Path) -> None:
    plain = write(tmp_path / "a.csv", panel(2))
    odd = Path(os.fsdecode(os.fsencode(tmp_path) + b"/\xff\x1b[31m.csv"))
    try:
        plain.rename(odd)
    except OSError:
        pytest.skip("the file system takes no such name")
    assert only(take(warehouse, odd)).kept == 2
    held = warehouse.fetch("select file_name from records.source_file")
    assert held == [("\ufffd\x1b[31m.csv",)]
