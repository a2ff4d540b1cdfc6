"""The field form is taken in as written; its example is not."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import load_workbook

from analytics.columns import DEVICE_CLASSES
from analytics.errors import UsageError
from analytics.ingest.form import headers, write_form
from analytics.notices import CAUTIONS
from analytics.warehouse import Warehouse
from tests.ingest.desk import GOOD, only, panel, readings, take


@pytest.mark.parametrize("ending", ["xlsx", "csv"])
@pytest.mark.parametrize("unit", ["degF", "degC"])
def test_a_blank_form_has_no_rows(
    warehouse: Warehouse, tmp_path: Path, ending: str, unit: str
) -> None:
    write_form(tmp_path / f"form.{ending}", unit)
    report = take(warehouse, tmp_path / f"form.{ending}")
    assert (only(report).status, report.read, report.exit_code) == ("kept", 0, 0)
    assert "no_rows" in {notice.code for notice in only(report).notices}


def test_a_filled_form_is_taken_in_and_its_example_is_not(
    warehouse: Warehouse, tmp_path: Path
) -> None:
    path = tmp_path / "form.xlsx"
    write_form(path, "degC")
    book = load_workbook(path)
    sheet = book["Readings"]
    names = [head.split(" ")[0] for head in headers("degC")]
    for row in panel(6, ambient_temp=20, device_temp=25):
        cells = {n: (v if isinstance(v, int) else str(v)) for n, v in row.items()}
        sheet.append([cells.get(name) for name in names])
    book.save(path)
    report = only(take(warehouse, path))
    assert (report.read, report.kept) == (6, 6)
    assert readings(warehouse, "distinct ambient_degc, device_degc") == [(20.0, 25.0)]
    assert "example_sheet" in {notice.code for notice in report.notices}


def test_the_form_helps_and_warns(tmp_path: Path) -> None:
    write_form(tmp_path / "form.xlsx", "degF")
    book = load_workbook(tmp_path / "form.xlsx")
    sheet = book["Readings"]
    lists = [rule.formula1 for rule in sheet.data_validations.dataValidation]
    assert f'"{",".join(DEVICE_CLASSES)}"' in lists
    assert "ambient_temp (°F)" in [cell.value for cell in sheet[1]]
    words = [str(cell.value) for row in book["Read me"].iter_rows() for cell in row]
    assert set(CAUTIONS) <= set(words)
    assert book["Example"].max_row >= 4


def test_the_filled_example_would_itself_be_kept(warehouse: Warehouse, tmp_path: Path) -> None:
    write_form(tmp_path / "form.xlsx", "degF")
    book = load_workbook(tmp_path / "form.xlsx")
    book["Example"].delete_rows(1)
    book.save(tmp_path / "unmarked.xlsx")
    report = only(take(warehouse, tmp_path / "unmarked.xlsx"))
    assert (report.read, report.kept, report.marked) == (3, 3, 0)


def test_nothing_is_written_over(tmp_path: Path) -> None:
    write_form(tmp_path / "form.csv")
    with pytest.raises(UsageError, match="already"):
        write_form(tmp_path / "form.csv")
    with pytest.raises(UsageError, match="end in"):
        write_form(tmp_path / "form.pdf")


def test_every_column_of_the_form_is_canonical() -> None:
    from analytics.ingest.names import exact

    for head in headers("degF"):
        name, unit = exact(head)
        assert name
        assert unit == ("degF" if name.endswith("_temp") else "")
    assert set(GOOD) - {"temp_unit"} <= {exact(head)[0] for head in headers("degF")}
