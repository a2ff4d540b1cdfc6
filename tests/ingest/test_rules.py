"""What is quarantined, what is marked, and what must not be."""

from __future__ import annotations

from pathlib import Path

import pytest

from analytics.ingest.rules import catalogue, wire_limits
from analytics.warehouse import Warehouse
from tests.ingest.desk import GOOD, codes, only, panel, readings, take, write

LINE = 10
"""The line of the row that is put after a panel of eight."""


def judged(warehouse: Warehouse, tmp_path: Path, **odd: object) -> set[str]:
    """Return the codes of one odd row beside an ordinary panel; the others must stay unmarked."""
    row = GOOD | {"position": 9, "device_temp": "82"} | odd
    take(warehouse, write(tmp_path / "a.csv", [*panel(), row]))
    found = codes(warehouse)
    assert set(found) <= {LINE}
    return found.get(LINE, set())


@pytest.mark.parametrize(
    ("odd", "code"),
    [
        ({"inspection_id": ""}, "missing_value"),
        ({"ambient_temp": "n/a"}, "missing_value"),
        ({"device_temp": "hot"}, "not_a_number"),
        ({"device_temp": "inf"}, "not_a_number"),
        ({"rated_a": "nan"}, "not_a_number"),
        ({"inspected_at": "last week"}, "not_a_date"),
        ({"position": "left"}, "not_a_position"),
        ({"position": "85"}, "out_of_range"),
        ({"device_class": "gizmo"}, "unknown_class"),
        ({"device_temp": "1100"}, "out_of_range"),
        ({"rated_a": "2"}, "out_of_range"),
        ({"temp_unit": "kelvin"}, "unit_unknown"),
        ({"temp_unit": ""}, "unit_missing"),
    ],
)
def test_quarantine(warehouse: Warehouse, tmp_path: Path, odd: dict[str, str], code: str) -> None:
    assert code in judged(warehouse, tmp_path, **odd)
    (column, cell, sentence, text) = warehouse.fetch(
        "select column_name, cell, sentence, row_text from records.quarantine limit 1"
    )[0]
    assert column in odd or code == "unit_missing"
    assert cell is None or cell in sentence
    assert "panel_id=P1" in text


@pytest.mark.parametrize(("metric", "is_slip"), [(1, True), (2, False), (3, False)])
def test_metric_ratings_are_a_slip_only_where_they_are_rare(
    warehouse: Warehouse, tmp_path: Path, metric: int, is_slip: bool
) -> None:
    # IEC 60898-1 (MEM): 13, 16, 32 and 63 A are preferred ratings, none of them in NEC 240.6(A)
    rows = panel(12, conductor_awg="")
    for row in rows[:metric]:
        row["rated_a"] = "16"
    take(warehouse, write(tmp_path / "a.csv", rows))
    assert any("rating_not_made" in found for found in codes(warehouse).values()) is is_slip


@pytest.mark.parametrize(
    ("odd", "code"),
    [
        ({"current_a": "some"}, "cell_not_read"),
        ({"current_a": "-3"}, "cell_out_of_range"),
        ({"termination_temp": "inf"}, "cell_not_read"),
        # NEC 2023, 240.6(A): no 22 A among the standard ratings
        ({"rated_a": "22", "conductor_awg": "10"}, "rating_not_made"),
        # common practice, no published source: no single-pole branch breaker of 100 A
        ({"rated_a": "100", "conductor_awg": ""}, "rating_for_a_main"),
        # NEC 2023, 240.4(D): copper 14 at most 15 A, 12 at most 20 A, 10 at most 30 A
        ({"rated_a": "20", "conductor_awg": "14"}, "conductor_too_small"),
        ({"rated_a": "25", "conductor_awg": "12"}, "conductor_too_small"),
        ({"rated_a": "35", "conductor_awg": "10"}, "conductor_too_small"),
        # the same: aluminium 12 at most 15 A, 10 at most 25 A
        ({"conductor_material": "Al"}, "conductor_too_small"),
        ({"rated_a": "30", "conductor_awg": "10 Al"}, "conductor_too_small"),
        ({"current_a": "80"}, "current_over_rating"),
        ({"inspected_at": "2031-03-02 10:30"}, "date_in_future"),
        ({"inspected_at": "2016-03-02 10:30"}, "date_unlike_inspection"),
        ({"device_temp": "60"}, "device_below_ambient"),
        ({"device_temp": "11"}, "device_below_ambient"),
        ({"device_temp": "28"}, "celsius_in_fahrenheit"),
        ({"ambient_temp": "21"}, "celsius_in_fahrenheit"),
        ({"ambient_temp": "90", "device_temp": "70"}, "ambient_and_device_swapped"),
        ({"ambient_temp": "60"}, "ambient_unlike_panel"),
        ({"termination_temp": "40"}, "termination_below_ambient"),
        ({"device_temp": "190", "termination_temp": "90"}, "face_hotter_than_its_terminal"),
        ({"current_a": "19.5", "device_temp": "77"}, "current_without_heat"),
    ],
)  # fmt: skip
def test_recheck(warehouse: Warehouse, tmp_path: Path, odd: dict[str, str], code: str) -> None:
    assert code in judged(warehouse, tmp_path, **odd)
    assert len(readings(warehouse, "line")) == 9


@pytest.mark.parametrize(
    "odd",
    [
        # a surface 38.9 K over ambient is where worry starts, not a misreading (common practice)
        {"device_temp": "140", "current_a": "6"},
        {"device_temp": "178", "termination_temp": "200", "current_a": "14"},
        # 22 K with no load is usual for electronic classes (trade reports)
        {"device_class": "afci", "device_temp": "112", "current_a": "0.0"},
        {"device_temp": "71"},
        {"current_a": "-", "load_minutes": "n/a"},
        {"current_a": "24", "device_temp": "120"},
        # NEC 2023, 240.4(D), exactly at its limits
        {"rated_a": "15", "conductor_awg": "14"},
        {"rated_a": "30", "conductor_awg": "10"},
        {"rated_a": "25", "conductor_awg": "10", "conductor_material": "aluminum"},
        {"current_a": "19.5", "device_temp": "77", "load_minutes": "3"},
    ],
)
def test_what_is_true_is_not_marked(
    warehouse: Warehouse, tmp_path: Path, odd: dict[str, str]
) -> None:
    assert judged(warehouse, tmp_path, **odd) == set()


def test_a_cold_garage_is_no_misreading(warehouse: Warehouse, tmp_path: Path) -> None:
    # a breaker in 0 °F air that reads 70 °F has risen 38.9 K (common practice)
    rows = panel(ambient_temp="0", panel_location="garage")
    for row in rows:
        row["device_temp"] = 8 + int(str(row["position"]))
    rows[3]["device_temp"] = 70
    take(warehouse, write(tmp_path / "a.csv", rows))
    assert codes(warehouse) == {}


def test_a_cold_basement_is_marked(warehouse: Warehouse, tmp_path: Path) -> None:
    rows = panel(ambient_temp="21")
    for row in rows:
        row["device_temp"] = 25
    take(warehouse, write(tmp_path / "a.csv", rows))
    assert {code for found in codes(warehouse).values() for code in found} == {"cold_indoors"}


def test_an_ambient_that_no_device_of_the_panel_fits(warehouse: Warehouse, tmp_path: Path) -> None:
    take(warehouse, write(tmp_path / "a.csv", panel(ambient_temp="30", panel_location="garage")))
    assert set(codes(warehouse)[2]) == {"panel_all_too_warm"}
    high = panel(ambient_temp="95", inspection_id="V2")
    take(warehouse, write(tmp_path / "b.csv", high))
    marks = warehouse.fetch("select distinct code from records.recheck order by code")
    assert ("panel_below_ambient",) in marks


def test_a_fahrenheit_number_in_a_celsius_file(warehouse: Warehouse, tmp_path: Path) -> None:
    rows = panel(temp_unit="degC", ambient_temp="21", current_a="0.5")
    for row in rows:
        row["device_temp"] = 22 + int(str(row["position"])) / 4
    rows[2]["device_temp"] = "76"
    rows[5] |= {"device_temp": "76", "current_a": "15.0"}
    take(warehouse, write(tmp_path / "a.csv", rows))
    assert codes(warehouse) == {4: {"fahrenheit_in_celsius"}}


def test_two_devices_in_one_slot(warehouse: Warehouse, tmp_path: Path) -> None:
    rows = panel(6)
    rows[0] |= {"rated_a": "2P30", "poles": "", "conductor_awg": "10"}
    take(warehouse, write(tmp_path / "a.csv", rows))
    assert codes(warehouse) == {2: {"slot_taken_twice"}, 4: {"slot_taken_twice"}}
    assert readings(warehouse, "poles, rated_a")[0] == (2, 30.0)


def test_a_point_that_moved(warehouse: Warehouse, tmp_path: Path) -> None:
    rows = [row for n in range(40) for row in panel(inspection_id=f"V{n}", current_a="8.5")]
    rows[11] |= {"current_a": "1.25"}
    take(warehouse, write(tmp_path / "a.csv", rows))
    assert codes(warehouse) == {13: {"current_decimal_slip"}}


def test_a_date_far_from_the_file_s_others(warehouse: Warehouse, tmp_path: Path) -> None:
    rows = [row for n in range(20) for row in panel(inspection_id=f"V{n}")]
    rows += panel(2, inspection_id="V99", inspected_at="2006-03-02")
    take(warehouse, write(tmp_path / "a.csv", rows))
    assert codes(warehouse) == {162: {"date_far_off"}, 163: {"date_far_off"}}


def test_the_main(warehouse: Warehouse, tmp_path: Path) -> None:
    main = GOOD | {
        "position": "",
        "device_class": "Main",
        "rated_a": "200",
        "conductor_awg": "4/0 Al",
    }
    take(warehouse, write(tmp_path / "a.csv", [*panel(4), main]))
    assert readings(warehouse, "position, device_class, conductor_material", "line = 6") == [
        (0, "main", "aluminium")
    ]
    assert codes(warehouse) == {}
    tiny = main | {"inspection_id": "V2", "rated_a": "20"}
    take(warehouse, write(tmp_path / "b.csv", [tiny]))
    assert codes(warehouse)[2] == {"main_too_small"}


def test_a_header_that_is_repeated(warehouse: Warehouse, tmp_path: Path) -> None:
    path = write(tmp_path / "a.csv", panel(4))
    lines = path.read_text().splitlines()
    path.write_text("\n".join([*lines[:3], lines[0], *lines[3:]]) + "\n")
    report = only(take(warehouse, path))
    assert (report.read, report.kept) == (5, 4)
    assert codes(warehouse) == {4: {"repeated_header"}}


def test_the_catalogue_is_whole() -> None:
    used = "".join(
        path.read_text()
        for path in (Path(__file__).parents[2] / "queries" / "staging").glob("*.sql")
    )
    for code, rule in catalogue().items():
        assert rule.kind in ("quarantine", "recheck")
        assert rule.sentence.endswith(".")
        assert rule.source
        assert f"'{code}'" in used, f"{code} is never given"


def test_wire_limits_are_the_code_s() -> None:
    # NEC 2023, 240.4(D) and Table 310.16 at 75 °C (8 and 6 AWG copper 50 and 65 A)
    limits = {(material, size): a for material, size, a in wire_limits()}
    assert [limits[("copper", size)] for size in ("14", "12", "10")] == [15, 20, 30]
    assert [limits[("aluminium", size)] for size in ("12", "10")] == [15, 25]
    assert limits[("copper", "8")] == 50
    assert limits[("copper", "6")] == 70  # 65 A, next standard rating up by 240.4(B)
