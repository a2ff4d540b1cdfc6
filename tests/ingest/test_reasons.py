"""A row that is not kept is told its own faults and no others."""

from __future__ import annotations

from pathlib import Path

import pytest

from analytics.warehouse import Warehouse
from tests.ingest.desk import only, take

START = "inspection_id,inspected_at,panel_id,position,device_class,rated_a"
ROW = "V1,2026-03-02,P1,{},standard,{}"


@pytest.mark.parametrize(
    ("headers", "cells", "column_map"),
    [
        ("ambient_temp (°F),device_temp (°F)", "70,80", ""),
        ("ambient_temp (°F),device_temp (°F),temp_unit", "70,80,", ""),
        ("ambient_temp,device_temp,temp_unit", "70,80,degF", ""),
        ("ambient_temp,device_temp", "70 °F,80 °F", ""),
        ("ambient_temp,device_temp", "70,80", '[units]\ntemp_unit = "degF"'),
        ("ambient_temp,device_temp", "70,80", '[constants]\ntemp_unit = "degF"'),
        ("ambient_temp,device_temp,temp_unit", "70,80,", '[units]\ntemp_unit = "degF"'),
    ],
    ids=["header", "header, empty cell", "row", "cell", "map", "constant", "map, empty cell"],
)
def test_no_word_of_the_unit_where_it_is_known(
    warehouse: Warehouse, tmp_path: Path, headers: str, cells: str, column_map: str
) -> None:
    sheet, told = tmp_path / "a.csv", tmp_path / "firm.toml"
    lines = [f"{START},{headers}", *(f"{ROW.format(n, a)},{cells}" for n, a in ((1, 20), (2, "")))]
    sheet.write_text("\n".join(lines) + "\n", encoding="utf-8")
    told.write_text(column_map, encoding="utf-8")
    report = only(take(warehouse, sheet, column_map=told if column_map else None))
    assert (report.kept, report.quarantined) == (1, 1), report.error
    reasons = warehouse.fetch("select line, column_name, code from records.quarantine")
    assert reasons == [(3, "rated_a", "missing_value")]
