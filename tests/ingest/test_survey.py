"""A firm's year of panels and a French sheet: every row accounted for, values right, map reused."""

from __future__ import annotations

from pathlib import Path

import pytest

from analytics.ingest.report import FileReport
from analytics.units import to_degc
from analytics.warehouse import Warehouse
from tests.ingest.desk import only, readings, take
from tests.ingest.files import make_survey

FILES = Path(__file__).parent / "files"
PLAN = FILES / "survey.toml"


def degc(degf: float) -> object:
    return pytest.approx(to_degc(degf, "degF"))


def reasons(file: FileReport, kind: str) -> dict[tuple[str, int], set[str]]:
    """Return the codes by sheet and line."""
    found: dict[tuple[str, int], set[str]] = {}
    for remark in file.remarks:
        if remark.kind == kind:
            found.setdefault((remark.sheet, remark.line), set()).add(remark.code)
    return found


@pytest.fixture
def survey(warehouse: Warehouse, tmp_path: Path) -> FileReport:
    return only(take(warehouse, make_survey.write(tmp_path / "survey.xlsx"), column_map=PLAN))


def test_the_suggested_map_asks_for_what_no_header_says(
    warehouse: Warehouse, tmp_path: Path
) -> None:
    file = only(take(warehouse, make_survey.write(tmp_path / "survey.xlsx")))
    assert file.status == "refused"
    assert "inspection_id (one visit of one inspector to one site)" in file.error
    for line in (
        'panel_id = { either = ["Panel"], own_line = "PANEL:" }',
        'ambient_temp = { either = ["Panel air", "Panel air (°F)"] }',
        '# "2P50" = "standard"',
        'rated_a = "Breaker"',
        '# inspection_id = ["panel_id", "inspected_at"]   # ',
        'temp_unit = "degF"',
        '# Headers not used: "Circuit"',
    ):
        assert line in file.suggested_map
    asked = '# inspection_id = ["panel_id", "inspected_at"]   #'
    plan = tmp_path / "firm.toml"
    plan.write_text(file.suggested_map.replace(asked, asked[2:]), encoding="utf-8")
    assert only(take(warehouse, tmp_path / "survey.xlsx", column_map=plan)).kept == 102


def test_all_rows_of_the_year_are_accounted_for(survey: FileReport) -> None:
    # typed: 108 rows of devices and empty slots; besides, four totals and three signatures
    typed = sum(
        len(rows)
        for sheet in ("Q1", "Q2", "Q3", "Q4 (open)")
        for *_, rows in make_survey.blocks(sheet)
    )
    assert (typed, survey.read) == (108, 115)
    assert (survey.kept, survey.repeated, survey.quarantined) == (102, 1, 12)
    assert reasons(survey, "quarantine") == {
        ("Q1", 15): {"missing_value"},  # a surge protector without a rating
        ("Q1", 16): {"no_reading"},  # a spare slot
        ("Q1", 37): {"no_reading"},  # the totals
        ("Q1", 38): {"no_reading"},  # the signature
        ("Q2", 13): {"unknown_class"},  # 2P50 in the column of types
        ("Q2", 16): {"missing_value"},
        ("Q2", 29): {"missing_value"},
        ("Q2", 42): {"no_reading"},
        ("Q2", 43): {"no_reading"},
        ("Q3", 36): {"no_reading"},
        ("Q4 (open)", 24): {"no_reading"},
        ("Q4 (open)", 25): {"no_reading"},
    }
    assert reasons(survey, "recheck") == {
        ("Q1", 35): {"current_over_rating"},  # 135 A, ten times too much
        ("Q2", 39): {"ambient_and_device_swapped"},
    }
    assert {n.code: n.data.get("count") for n in survey.notices} == {
        "sheet_left_out": None,
        "own_lines": 3,
    }
    assert survey.ignored == ("Circuit",)


@pytest.mark.parametrize(
    ("sheet", "line", "panel", "slot", "kind", "poles", "rated_a", "current_a", "air", "device"),
    [
        ("Q1", 6, "Quarry house", 0, "main", 2, 200.0, 61.5, 71, 96.4),
        ("Q1", 7, "Quarry house", 1, "standard", 1, 20.0, 13.5, 71, 104.1),
        ("Q1", 11, "Quarry house", 2, "standard", 2, 30.0, 21.8, 71, 108.9),
        ("Q1", 24, "Quarry barn", 6, "standard", 1, 15.0, 5.1, 58, 66.9),
        ("Q1", 31, "Mill / unit B", 5, "dual_function", 1, 20.0, 8.8, 70, 100.3),
        ("Q2", 12, "Ferry house", 6, "standard", 2, 30.0, 23.0, 74, 112),
        ("Q2", 32, "Depot, LP-2", 1, "standard", 3, 50.0, 31.0, 79, 103.8),
        ("Q3", 9, "Alder - garage main", 4, "standard", 2, 60.0, 40.0, 84, 124.7),
        ("Q3", 14, "Alder - garage main", 11, "standard", 1, 15.0, 6.4, 84, 94.4),
        ("Q3", 19, "Alder - sub, pool house", 4, "standard", 1, 20.0, None, 86, 88.1),
        ("Q3", 27, "Ferry house", 3, "standard", 1, 20.0, 9.9, 80, 95.5),
        ("Q4 (open)", 8, "Mill / unit B", 2, "afci", 1, 20.0, 1.0, 69, 85.4),
    ],
)  # fmt: skip
def test_cells_of_the_year(
    warehouse: Warehouse,
    survey: FileReport,
    sheet: str,
    line: int,
    panel: str,
    slot: int,
    kind: str,
    poles: int,
    rated_a: float,
    current_a: float | None,
    air: float,
    device: float,
) -> None:
    columns = (
        "panel_id, position, device_class, poles, rated_a, current_a, ambient_degc, device_degc"
    )
    assert readings(warehouse, columns, f"sheet = '{sheet}' and line = {line}") == [
        (panel, slot, kind, poles, rated_a, current_a, degc(air), degc(device))
    ]


def test_a_visit_is_a_panel_on_a_day(warehouse: Warehouse, survey: FileReport) -> None:
    found = readings(warehouse, "inspection_id, inspected_at::date::varchar", "sheet = 'Q3'")
    assert list(dict.fromkeys(found)) == [
        ("Alder - garage main 2025-07-02", "2025-07-02"),
        ("Alder - sub, pool house 2025-07-02", "2025-07-02"),
        ("Ferry house 2025-08-19", "2025-08-19"),
    ]
    assert readings(warehouse, "note", "sheet = 'Q1' and line = 7") == [("coffee maker on",)]


def test_the_map_serves_the_next_file(
    warehouse: Warehouse, survey: FileReport, tmp_path: Path
) -> None:
    path = make_survey.write_next(tmp_path / "next.xlsx")
    file = only(take(warehouse, path, column_map=PLAN))
    assert (file.read, file.kept, file.quarantined) == (9, 8, 1)
    assert reasons(file, "quarantine") == {("Q1 2026", 8): {"no_reading"}}
    columns = "position, device_class, poles, rated_a, current_a, device_degc"
    assert readings(warehouse, columns, "sheet = 'Q1 2026' and panel_id = 'Quarry house'") == [
        (0, "main", 2, 200.0, 58.0, degc(94.8)),
        (1, "standard", 1, 20.0, 14.0, degc(106)),
        (2, "standard", 2, 30.0, 21.0, degc(107.1)),
        (12, "standard", 1, 20.0, 16.0, degc(91.3)),
        (14, "surge_protector", 2, 30.0, None, degc(82)),
    ]
    again = only(take(warehouse, path, column_map=PLAN))
    assert (again.status, again.kept) == ("known", 0)


def test_french_in_windows_1252(warehouse: Warehouse, tmp_path: Path) -> None:
    path = tmp_path / "releves.csv"
    path.write_bytes((FILES / "releves.csv").read_text(encoding="utf-8").encode("cp1252"))
    file = only(take(warehouse, path, column_map=FILES / "releves.toml"))
    assert (file.read, file.kept, file.repeated, file.quarantined) == (56, 49, 1, 6)
    assert {line: codes for (_, line), codes in reasons(file, "quarantine").items()} == {
        14: {"missing_value"},
        48: {"missing_value"},
        58: {"not_a_date"},  # the 31st of February
        61: {"missing_value"},
        62: {"missing_value"},
        65: {"no_reading"},  # the totals
    }
    assert {line: codes for (_, line), codes in reasons(file, "recheck").items()} == {
        23: {"current_over_rating"},
        34: {"cell_not_read"},
        35: {"ambient_and_device_swapped"},
    }
    columns = "position, device_class, poles, rated_a, current_a, ambient_degc, device_degc, note"
    assert readings(warehouse, columns, "line in (10, 15, 47, 49)") == [
        (6, "standard", 2, 32.0, 24.5, 22.1, 42.6, "four"),
        (0, "main", 2, 100.0, 42.0, 22.1, 31.7, None),
        (11, "gfci", 1, 20.0, 8.9, 25.3, 39.6, None),
        (13, "standard", 1, 20.0, 8.1, 25.3, 88.8, "isolant bruni"),
    ]
    assert readings(warehouse, "distinct inspected_at::date::varchar", "line = 47") == [
        ("2026-03-02",)
    ]
