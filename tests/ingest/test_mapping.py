"""Which header is which column, and how a firm says so."""

from __future__ import annotations

from pathlib import Path

import pytest

from analytics.errors import UsageError
from analytics.ingest import columnmap, names
from analytics.warehouse import Warehouse
from tests.ingest.desk import GOOD, only, panel, readings, take, text, write

HEADERS = {
    "inspection_id": "Job #", "inspected_at": "Date", "panel_id": "Panel", "position": "Ckt",
    "ambient_temp": "Ambient (°F)", "device_temp": "Surface Temp (°F)", "device_class": "Type",
    "poles": "Poles", "rated_a": "Rating (A)", "current_a": "Amps", "note": "Comments",
}  # fmt: skip


def trade(path: Path, headers: dict[str, str] = HEADERS, count: int = 5) -> Path:
    """Write a sheet with headers of the trade."""
    rows = [{headers[name]: row.get(name, "") for name in headers} for row in panel(count)]
    return write(path, rows, tuple(headers.values()))


def test_guesses_are_shown_and_not_applied(warehouse: Warehouse, tmp_path: Path) -> None:
    report = take(warehouse, trade(tmp_path / "a.csv"))
    file = only(report)
    assert (file.status, report.exit_code) == ("refused", 1)
    assert "--map" in file.error
    assert {m.column: m.header for m in file.guesses} == {
        name: header for name, header in HEADERS.items() if name not in ("poles",)
    }
    assert warehouse.fetch("select count(*) from records.source_file") == [(0,)]


def test_the_suggested_map_takes_the_file_in(warehouse: Warehouse, tmp_path: Path) -> None:
    sheet = trade(tmp_path / "a.csv")
    suggested = tmp_path / "firm.toml"
    suggested.write_text(only(take(warehouse, sheet)).suggested_map, encoding="utf-8")
    file = only(take(warehouse, sheet, column_map=suggested))
    assert (file.status, file.kept) == ("kept", 5)
    assert {m.how for m in file.matches} == {"map"}


def test_guesses_are_used_when_asked_for(warehouse: Warehouse, tmp_path: Path) -> None:
    file = only(take(warehouse, trade(tmp_path / "a.csv"), accept_guesses=True))
    assert (file.kept, len(file.guesses)) == (5, 10)


def test_canonical_names_need_no_map(warehouse: Warehouse, tmp_path: Path) -> None:
    headers = {
        name: name.replace("_", " ").title() for name in GOOD if not name.endswith(("temp", "unit"))
    }
    headers |= {"ambient_temp": "ambient_degf", "device_temp": "Device temp degF"}
    assert only(take(warehouse, trade(tmp_path / "a.csv", headers))).kept == 5


def test_no_unit_anywhere_is_refused(warehouse: Warehouse, tmp_path: Path) -> None:
    rows = [row | {"temp_unit": ""} for row in panel()]
    file = only(take(warehouse, write(tmp_path / "a.csv", rows)))
    assert file.status == "refused"
    assert "°F from °C" in file.error
    plan = tmp_path / "firm.toml"
    plan.write_text('[units]\ntemp_unit = "degC"\n')
    warm = [row | {"ambient_temp": "21", "device_temp": "25"} for row in rows]
    file = only(take(warehouse, write(tmp_path / "b.csv", warm), column_map=plan))
    assert file.kept == 8


def test_units_in_the_cells_are_enough(warehouse: Warehouse, tmp_path: Path) -> None:
    rows = [
        row | {"temp_unit": "", "ambient_temp": "70F", "device_temp": "26 °C"} for row in panel()
    ]
    assert only(take(warehouse, write(tmp_path / "a.csv", rows))).kept == 8
    assert readings(warehouse, "round(ambient_degc, 1), device_degc")[0] == (21.1, 26.0)


def test_one_unit_in_one_header_serves_the_others(warehouse: Warehouse, tmp_path: Path) -> None:
    headers = {n: n for n in GOOD if n != "temp_unit"} | {"ambient_temp": "ambient_temp (°F)"}
    file = only(take(warehouse, trade(tmp_path / "a.csv", headers)))
    assert file.kept == 5
    assert "unit_carried_over" in {notice.code for notice in file.notices}


def test_a_whole_map(warehouse: Warehouse, tmp_path: Path) -> None:
    plan = tmp_path / "firm.toml"
    plan.write_text(
        'date_order = "dmy"\n'
        "[columns]\n"
        'inspection_id = "Ref"\ninspected_at = ["Day", "Hour"]\nposition = "Way"\n'
        'device_class = "Sort"\nrated_a = "Size"\nambient_temp = "Air"\ndevice_temp = "Skin"\n'
        'panel_location = "Spot"\n'
        '[constants]\npanel_id = "P1"\n'
        '[units]\ntemp_unit = "degC"\ndevice_temp = "degF"\n'
        '[classes]\n"RCD-ish" = "gfci"\n'
        '[values]\n"under the stairs" = "other"\n'
    )
    sheet = tmp_path / "a.csv"
    sheet.write_text(
        "Ref,Day,Hour,Way,Sort,Size,Air,Skin,Spot\n"
        "V1,3/4/24,9:30,1,rcd ish,20,20,77,Under the stairs\n"
    )
    assert only(take(warehouse, sheet, column_map=plan)).kept == 1
    columns = (
        "inspected_at::varchar, panel_id, device_class, panel_location, ambient_degc, device_degc"
    )
    assert readings(warehouse, columns) == [
        ("2024-04-03 09:30:00", "P1", "gfci", "other", 20.0, 25.0)
    ]


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ('[columns]\nambient_tmp = "Air"', "ambient_temp"),
        ('[column]\nambient_temp = "Air"', "columns"),
        ('[units]\ntemp_unit = "F"', "degF"),
        ('[units]\nrated_a = "degF"', "rated_a"),
        ('[classes]\n"x" = "standart"', "standard"),
        ('[values]\n"x" = "cellar"', "cellar"),
        ('date_order = "ymd"', "ymd"),
        ("[columns]\nnote = 3", "note"),
        ("[columns", "TOML"),
    ],
)
def test_errors_of_a_map_say_where_and_what(tmp_path: Path, content: str, says: str) -> None:
    path = tmp_path / "firm.toml"
    path.write_text(content)
    with pytest.raises(UsageError, match=says) as caught:
        columnmap.read(path)
    assert "firm.toml" in str(caught.value)


def test_a_mapped_header_that_is_not_there(warehouse: Warehouse, tmp_path: Path) -> None:
    plan = tmp_path / "firm.toml"
    plan.write_text('[columns]\ncurrent_a = "Ampères"\n')
    file = only(take(warehouse, write(tmp_path / "a.csv", panel()), column_map=plan))
    assert file.status == "failed"
    assert "“Ampères”" in file.error
    assert "“device_temp”" in file.error


def test_a_missing_map(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match=r"gone\.toml"):
        columnmap.read(tmp_path / "gone.toml")


@pytest.mark.parametrize(
    ("header", "name", "unit"),
    [
        ("Ambient (°F)", "Ambient", "degF"), ("T Gerät [°C]", "T Gerät", "degC"),
        ("Device temp degC", "Device temp", "degC"), ("Room Fahrenheit", "Room", "degF"),
        ("Rating (A)", "Rating", ""), ("Basic", "Basic", ""),
        ("Surface temp C", "Surface temp", "degC"),
    ],
)  # fmt: skip
def test_units_in_headers(header: str, name: str, unit: str) -> None:
    assert names.split_unit(header) == (name, unit)


@pytest.mark.parametrize(
    ("dates", "order", "notice"),
    [
        (["03/14/2024", "03/02/2024"], "2024-03-02", False),
        (["14/03/2024", "03/02/2024"], "2024-02-03", False),
        (["04/03/2024", "03/02/2024"], "2024-03-02", True),
        (["04.03.2024", "03.02.2024"], "2024-02-03", False),
    ],
)
def test_the_order_of_day_and_month(
    warehouse: Warehouse, tmp_path: Path, dates: list[str], order: str, notice: bool
) -> None:
    rows = [
        GOOD | {"position": n, "inspection_id": n, "inspected_at": d} for n, d in enumerate(dates)
    ]
    path = tmp_path / "a.csv"
    path.write_text(text(rows))
    file = only(take(warehouse, path))
    assert readings(warehouse, "inspected_at::date::varchar", "position = 1") == [(order,)]
    assert ("date_order_unclear" in {n.code for n in file.notices}) is notice


def test_with_decimal_commas_the_day_comes_first(warehouse: Warehouse, tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    rows = [GOOD | {"inspected_at": "04/03/2024", "device_temp": "80,5", "current_a": "8,0"}]
    path.write_text(text(rows, delimiter=";"))
    file = only(take(warehouse, path))
    assert readings(warehouse, "inspected_at::date::varchar") == [("2024-03-04",)]
    assert "date_order_unclear" in {n.code for n in file.notices}


def test_a_date_far_down_tells_the_order_of_all(warehouse: Warehouse, tmp_path: Path) -> None:
    rows = [GOOD | {"inspection_id": n, "inspected_at": "04/03/2024"} for n in range(2500)]
    rows[2400]["inspected_at"] = "14/03/2024"
    file = only(take(warehouse, write(tmp_path / "a.csv", rows)))
    assert file.kept == 2500
    assert readings(warehouse, "distinct inspected_at::date::varchar as day", "line < 2000") == [
        ("2024-03-04",)
    ]
    assert "date_order_unclear" not in {n.code for n in file.notices}
