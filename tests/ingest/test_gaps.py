"""Values written once for several rows, and header rows that only make sense together."""

from __future__ import annotations

from pathlib import Path

import pytest

from analytics.errors import UsageError
from analytics.ingest import columnmap
from analytics.ingest.report import FileReport
from analytics.warehouse import Warehouse
from tests.ingest.desk import only, readings, take

COLUMNS = """\
inspection_id = ["panel_id", "inspected_at"]
inspected_at = "Date"
position = "Slot"
device_class = "Type"
rated_a = "Size"
ambient_temp = "Air (°F)"
device_temp = "Face (°F)"
current_a = "Amps"
"""


def ingest(warehouse: Warehouse, folder: Path, sheet: str, plan: str) -> FileReport:
    (folder / "firm.toml").write_text(plan, encoding="utf-8")
    (folder / "a.csv").write_text(sheet, encoding="utf-8")
    return only(take(warehouse, folder / "a.csv", column_map=folder / "firm.toml"))


def test_empty_cells_mean_the_cell_above(warehouse: Warehouse, tmp_path: Path) -> None:
    sheet = (
        "Board,Date,Slot,Type,Size,Air (°F),Face (°F),Amps\n"
        "North,2026-03-02,1,Std,20,70,81,4\n"
        ",,2,Std,20,,82,5\n"
        "\n"
        "South,2026-03-03,1,Std,20,64,71,4\n"
        ",,2,Std,15,,72,\n"
    )
    plan = f'fill_down = ["panel_id", "inspected_at", "ambient_temp"]\n[columns]\n{COLUMNS}'
    file = ingest(warehouse, tmp_path, sheet, plan + 'panel_id = "Board"\n')
    assert (file.read, file.kept) == (4, 4)
    assert [n.data for n in file.notices if n.code == "filled_down"] == [{"count": 6}]
    columns = (
        "line, panel_id, inspected_at::date::varchar, position, round(ambient_degc, 2), current_a"
    )
    assert readings(warehouse, columns) == [
        (2, "North", "2026-03-02", 1, 21.11, 4.0),
        (3, "North", "2026-03-02", 2, 21.11, 5.0),
        (5, "South", "2026-03-03", 1, 17.78, 4.0),
        (6, "South", "2026-03-03", 2, 17.78, None),
    ]  # fmt: skip


OWN_LINES = """\
Panel: North
Date,Slot,Type,Size,Air (°F),Face (°F),Amps
2026-03-02,1,Std,20,70,81,4
2026-03-02,2,Std,20,70,82,5

panel - South,,,,,,
Date,Slot,Type,Size,Air (°F),Face (°F),Amps
2026-03-03,1,Std,20,64,71,4
"""


def test_a_panel_on_a_line_of_its_own(warehouse: Warehouse, tmp_path: Path) -> None:
    plan = f'[columns]\n{COLUMNS}panel_id = {{ own_line = "Panel" }}\n'
    file = ingest(warehouse, tmp_path, OWN_LINES, plan)
    # the repeated header is a row that is not kept, the panel's line is none
    assert (file.read, file.kept, file.quarantined) == (4, 3, 1)
    assert [r.code for r in file.remarks] == ["repeated_header"]
    assert readings(warehouse, "line, panel_id, position") == [
        (3, "North", 1), (4, "North", 2), (8, "South", 1),
    ]  # fmt: skip


def test_a_line_that_is_not_there_is_told(warehouse: Warehouse, tmp_path: Path) -> None:
    plan = f'[columns]\n{COLUMNS}panel_id = {{ either = ["Board"], own_line = "Cabinet" }}\n'
    file = ingest(warehouse, tmp_path, OWN_LINES, plan)
    assert file.status == "failed"
    assert "panel_id from “the line Cabinet …” or “Board”" in file.error


def test_what_looks_written_once_is_suggested(warehouse: Warehouse, tmp_path: Path) -> None:
    from analytics.ingest.load import ingest as load
    from analytics.ingest.words import lines

    (tmp_path / "firm.toml").write_text(f'[columns]\n{COLUMNS}panel_id = "Board"\n')
    rows = "".join(f",2026-03-02,{n},Std,20,70,8{n},4\n" for n in range(2, 6))
    (tmp_path / "a.csv").write_text(
        "Board,Date,Slot,Type,Size,Air (°F),Face (°F),Amps\nNorth,2026-03-02,1,Std,20,70,81,4\n"
        + rows
    )
    report = load(warehouse, [tmp_path / "a.csv"], column_map=tmp_path / "firm.toml")
    told = "\n".join(lines(report))
    assert 'fill_down = ["panel_id"]' in told
    assert "loadrise export quarantine" in told


def test_two_header_rows_are_read_together(warehouse: Warehouse, tmp_path: Path) -> None:
    sheet = (
        "Inspection,Date,Panel,Position,Device,Class,Air °F,Front °F,,Clamp\n"
        ",,,,Size,,Value,Value,By,Value\n"
        "v1,2026-03-02,p1,1,20,Std,70,81,kb,4\n"
        "v1,2026-03-02,p1,2,20,Std,70,82,kb,5\n"
    )
    plan = (
        '[columns]\ninspection_id = "Inspection"\ninspected_at = "Date"\npanel_id = "Panel"\n'
        'position = "Position"\ndevice_class = "Class"\nrated_a = "Size"\n'
        'ambient_temp = "Air °F Value"\ndevice_temp = "Front °F Value"\n'
        'current_a = "Clamp Value"\n'
    )
    file = ingest(warehouse, tmp_path, sheet, plan)
    assert (file.read, file.kept) == (2, 2)
    assert file.ignored == ("By",)
    columns = "line, round(ambient_degc, 2), round(device_degc, 2), rated_a, current_a"
    assert readings(warehouse, columns) == [
        (3, 21.11, 27.22, 20.0, 4.0), (4, 21.11, 27.78, 20.0, 5.0),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ('fill_down = "panel_id"', "must be a list"),
        ('fill_down = ["panel"]', "panel_id"),
        ('[columns]\nnote = "N"\nfill_down = ["panel_id"]', "above"),
        ('[columns]\npanel_id = { ownline = "Panel" }', "own_line"),
        ('[columns]\npanel_id = { either = ["A", 3] }', "either"),
    ],
)
def test_errors_of_a_map_with_gaps(tmp_path: Path, content: str, says: str) -> None:
    path = tmp_path / "firm.toml"
    path.write_text(content)
    with pytest.raises(UsageError, match=says):
        columnmap.read(path)
