"""What the README says of sheets and maps is what the ingest does."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from analytics.columns import DEVICE_CLASSES
from analytics.ingest import columnmap, names
from analytics.warehouse import Warehouse
from tests.ingest.desk import GOOD, only, readings, take, write

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
TABLE = README.split("### What a row needs")[1].split("### The column map")[0]


def test_the_map_of_the_readme_is_a_map() -> None:
    found = re.search(r"```toml\n(.*?)```", README, re.S)
    assert found is not None
    plan = columnmap.parse(tomllib.loads(found[1]), "README.md")
    have = {*plan.mapped, *plan.constants}
    assert set(names.REQUIRED["reading"]) <= have
    assert plan.headers_of("device_temp") == ("Device", "Device temp (°F)")


def test_the_columns_that_a_row_needs_are_listed() -> None:
    assert set(re.findall(r"^\| `(\w+)` \|", TABLE, re.M)) == set(names.REQUIRED["reading"])
    for word in DEVICE_CLASSES:
        assert f"`{word}`" in TABLE


@pytest.mark.parametrize(
    ("column", "stored", "values"),
    [
        ("inspection_id", "inspection_id", ["311", "W11-04"]),
        ("inspected_at", "inspected_at::date::varchar", ["2026-03-02", "2026-03-02", "2024-03-05"]),
        ("panel_id", "panel_id", ["LP-2"]),
        ("position", "[position, poles]", [[5, 1], [14, 2], [1, 3], [0, 1]]),
        ("device_class", "device_class", ["standard", "afci", "surge_protector"]),
        ("rated_a", "[rated_a, poles]", [[20, 1], [20, 1], [30, 2], [200, 2]]),
        ("ambient_temp", "round(ambient_degc, 2)", [21.67, 21.5]),
        ("device_temp", "round(device_degc, 2)", [40.06, 40.0]),
    ],
)
def test_the_ways_of_writing_of_the_readme_are_read(
    warehouse: Warehouse, tmp_path: Path, column: str, stored: str, values: list[object]
) -> None:
    row = next(line for line in TABLE.splitlines() if line.startswith(f"| `{column}`"))
    cells = re.findall(r"`([^`]+)`", row.split("|")[3])
    assert len(cells) == len(values)
    for number, cell in enumerate(cells):
        bare = GOOD | {"poles": "", "panel_id": f"p{number}", column: cell}
        file = only(take(warehouse, write(tmp_path / f"{number}.csv", [bare])))
        assert file.kept == 1, file.remarks
        file_id = "(select max(file_id) from records.source_file)"
        assert readings(warehouse, stored, f"file_id = {file_id}") == [(values[number],)]
