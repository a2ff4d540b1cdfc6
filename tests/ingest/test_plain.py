"""The quick reading of plain cells: what it keeps, the careful one keeps with the same values."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analytics.ingest import evidence, feed
from analytics.warehouse import Warehouse, open_store
from tests.ingest.desk import GOOD, HEADERS, codes, only, readings, take, write

STORE = open_store()

CELLS: dict[str, tuple[str, ...]] = {
    "inspected_at": (
        "2026-03-02", "2026-03-02T10:30:00Z", "2026-3-2 9:05", "2026-03-02 10:30 UTC",
        "2026-03-02 9:30UTC", "2026-03-02 10:30+02", "2026-03-02 10:30 PM", "3/2/2026", "46083.5",
        "epoch", "infinity", "1980-01-01", "2026-02-30", " 2026-03-02", "2026-03-02 10:30:61",
    ),
    "ambient_temp": ("70.5", "7e1", "+70", "070", " 70 ", "70 F", "21 °C", "1,070", "70,5", "nan"),
    "device_temp": ("80.25", "-0", "inf", "1e400", "8_0", "0x50", "80°", "n/a", "999", "80 ?"),
    "termination_temp": ("85", "-", "none", "?", "1200", "85.", ".5"),
    "temp_unit": ("F", "°F", "degC", "celsius", "Kelvin", "n/a", "", " degF"),
    "position": ("0", "2", "02", "7.5", "5/7", "#5", "84", "85", "-1", "+1", "1 ", "main", ""),
    "device_class": ("afci", "Std", "AFCI/GFCI combo", "toaster", "", "standard "),
    "poles": ("", "1", "2", "3", "2.0", "02", "2P", "n/a", "4", "two"),
    "rated_a": ("15", "20 A", "20A", "2P30", "30/2", "17.5", "5", "C16", "nan", ""),
    "current_a": ("0", "13.5A", "1,000", "1000", "1001", "-0.1", "NC", "500 mA", "8.0 "),
    "conductor_awg": ("12", "#12", "12 Cu", "1/0", "250 kcmil", "13", "", "n/a"),
    "conductor_material": ("copper", "Al", "aluminium", "gold", "", "-"),
    "load_minutes": ("45", "45 min", "1.5 h", "1:30", "0", "9999", "?", ""),
    "note": ("fine", "n/a", "Needs care", " trailing ", "-", "“odd”", "ünder"),
    "panel_location": ("garage", "Basement", "roof", "", "n/a"),
}  # fmt: skip


def _sheet(path: Path) -> Path:
    """Write one odd cell a row, each beside plain cells, and each pair of neighbours together."""
    rows: list[dict[str, object]] = []
    names = list(CELLS)
    for name, other in zip(names, names[1:] + names[:1], strict=True):
        for number, cell in enumerate(CELLS[name]):
            rows.append(GOOD | {name: cell})
            rows.append(GOOD | {name: cell, other: CELLS[other][number % len(CELLS[other])]})
    rows = [row | {"inspection_id": f"V{number}"} for number, row in enumerate(rows)]
    return write(path, rows, HEADERS)


def _kept(warehouse: Warehouse) -> list[object]:
    columns = "* exclude (file_id, reading_id, sheet)"
    return [str(row) for row in readings(warehouse, columns, "true")]


@pytest.mark.parametrize("way", ["plain", "direct"])
def test_every_way_reads_the_same(
    warehouse: Warehouse, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, way: str
) -> None:
    """Odd cells, chosen so that the quick and the careful reading might differ."""
    sheet = _sheet(tmp_path / "a.csv")
    report = only(take(warehouse, sheet))
    monkeypatch.setattr(feed, "LARGE_LINES", 1)
    monkeypatch.setattr(feed, "MUCH_CARE", 1.0)
    monkeypatch.setattr(feed, "MUCH_TROUBLE", 1.0)
    monkeypatch.setattr(evidence, "are_plain", lambda cells: way == "plain")
    with open_store() as other:
        again = only(take(other, sheet))
        assert (again.read, again.kept, again.marked) == (report.read, report.kept, report.marked)
        assert again.remark_counts == report.remark_counts
        assert _kept(other) == _kept(warehouse)
        assert codes(other) == codes(warehouse)
    assert 0 < report.kept < report.read


def test_the_quick_reading_is_given_up_where_it_is_no_gain(
    warehouse: Warehouse, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(feed, "LARGE_LINES", 1)
    asked: list[str] = []
    append, through = warehouse.append, warehouse.append_through
    monkeypatch.setattr(
        warehouse, "append", lambda name, *a, **k: asked.append(name) or append(name, *a, **k)
    )
    monkeypatch.setattr(
        warehouse, "append_through", lambda *a: asked.append("careful") or through(*a)
    )
    monkeypatch.setattr(evidence, "are_plain", lambda cells: True)
    rows = [
        GOOD | {"inspection_id": f"V{n}", "current_a": "8 A" if n % 9 == 0 else "8"}
        for n in range(90)
    ]
    report = only(take(warehouse, write(tmp_path / "a.csv", rows)))
    assert (report.read, report.kept, report.marked) == (90, 90, 0)
    assert asked[:2] == ["staging.reading_plain", "careful"]
    assert readings(warehouse, "line, current_a") == [(line, 8.0) for line in range(2, 92)]


def test_plain_cells_are_told_from_others() -> None:
    assert evidence.are_plain(["70", "70.5", "-1", "", "2026-03-02", "2026-03-02T10:30"])
    assert not evidence.are_plain(["70", "70 °F"])
    assert not evidence.are_plain(["3/2/2026"])
    assert evidence.are_plain([*["70"] * 99, "hot"])


@settings(max_examples=300, deadline=None)
@given(
    number=st.from_regex(r"-?[0-9]{1,4}(\.[0-9]{1,4})?", fullmatch=True),
    unit=st.sampled_from(["F", " F", "°F", " °F", "C", " C", "°C", " °C"]),
    is_comma=st.booleans(),
)
def test_a_blank_before_a_temperature_changes_nothing(
    number: str, unit: str, is_comma: bool
) -> None:
    """The blank sends the cell the long way round."""
    expression = "parse_warmth($cell::varchar, $is_comma, 'degC')"
    told = {"is_comma": is_comma}
    short = STORE.fetch(f"select {expression}", {"cell": number + unit, **told})
    assert short == STORE.fetch(f"select {expression}", {"cell": " " + number + unit, **told})


@settings(max_examples=300, deadline=None)
@given(
    day=st.integers(0, 32),
    month=st.integers(0, 13),
    year=st.integers(1989, 2200),
    clock=st.sampled_from(["", " 9:05", " 09:05", " 23:59", " 24:00", " 10:60", " 0:00"]),
    is_long=st.booleans(),
    order=st.sampled_from(["dmy", "mdy"]),
)
def test_a_blank_before_a_date_changes_nothing(
    day: int, month: int, year: int, clock: str, is_long: bool, order: str
) -> None:
    """The blank sends the cell the long way round."""
    cell = f"{day:02}/{month:02}/{year}{clock}" if is_long else f"{day}/{month}/{year}{clock}"
    expression = "parse_dated($cell::varchar, $order)"
    short = STORE.fetch(f"select {expression}", {"cell": cell, "order": order})
    assert short == STORE.fetch(f"select {expression}", {"cell": " " + cell, "order": order})
