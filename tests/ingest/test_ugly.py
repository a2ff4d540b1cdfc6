"""Three sheets as nobody would design them: all rows accounted for, all values right."""

from __future__ import annotations

from pathlib import Path

import pytest

from analytics.units import to_degc
from analytics.warehouse import Warehouse
from tests.ingest.desk import codes, only, readings, take
from tests.ingest.files import make_tablero

FILES = Path(__file__).parent / "files"


def test_german_semicolons_and_decimal_commas(warehouse: Warehouse) -> None:
    report = only(take(warehouse, FILES / "geraete.csv", column_map=FILES / "geraete.toml"))
    assert (report.read, report.kept, report.quarantined) == (9, 7, 2)
    assert report.ignored == ("Kunde",)
    columns = "position, device_class, poles, rated_a, current_a, ambient_degc, device_degc"
    assert readings(warehouse, columns) == [
        (0, "main", 2, 63.0, 21.4, 18.5, 24.0),
        (1, "standard", 1, 16.0, 3.2, 18.5, 21.3),
        (2, "standard", 1, 16.0, None, 18.5, 20.9),
        (3, "gfci", 2, 20.0, 9.8, 18.5, 31.7),
        (4, "energy_monitor", 1, 16.0, None, 18.5, 29.2),
        (6, "standard", 1, 20.0, 12.5, 18.5, 52.1),
        (8, "standard", 1, 16.0, None, 18.5, 22.0),
    ]
    more = (
        "inspected_at::varchar, panel_location, conductor_awg, load_minutes, termination_degc, note"
    )
    assert readings(warehouse, more, "position in (3, 6)") == [
        ("2024-03-05 08:40:00", "basement", "2.5 mm2", 45.0, 33.0, 'Herd; zieht "ordentlich"'),
        ("2024-03-05 08:55:00", "basement", "2.5 mm2", 60.0, 61.8, "deutlich wärmer, s. Foto"),
    ]
    found = codes(warehouse)
    assert "cell_not_read" in found[12]
    assert found[13] == {"missing_value"}
    assert found[14] == {"no_reading"}
    assert "vertraulich" not in str(warehouse.fetch("from records.quarantine"))


def test_spanish_workbook_with_merged_titles(warehouse: Warehouse, tmp_path: Path) -> None:
    sheet = make_tablero.write(tmp_path / "tablero.xlsx")
    refused = only(take(warehouse, sheet))
    assert refused.status == "refused"
    report = only(take(warehouse, sheet, column_map=FILES / "tablero.toml"))
    assert (report.read, report.kept, report.quarantined) == (9, 7, 2)
    columns = "line, position, device_class, poles, rated_a, current_a, device_degc, conductor_awg"
    assert readings(warehouse, columns) == [
        (6, 0, "main", 2, 100.0, 38.5, 39.5, "2"),
        (7, 1, "standard", 1, 15.0, 4.2, 36.25, "14"),
        (8, 2, "standard", 1, 20.0, 6.5, 38.4, "12"),
        (9, 3, "standard", 2, 30.0, 17.0, 44.0, "10"),
        (10, 4, "gfci", 1, 20.0, None, 47.0, "12"),
        (11, 6, "surge_protector", 2, 30.0, None, 45.0, None),
        (12, 7, "afci", 1, 15.0, 0.0, pytest.approx(to_degc(95, "degF")), "14"),
    ]
    assert readings(warehouse, "distinct inspection_id, inspected_at::varchar") == [
        ("311", "2025-07-08 16:20:00")
    ]
    assert codes(warehouse)[13] == {"unknown_class"}
    assert codes(warehouse)[16] == {"no_reading"}


UTF16 = """\
Week 11 – rooftop crew, handheld notes\t\t\t\t\t\t\t\t\t\t
Visit\tWhen\tBox\tHangs in\tWay\tSort\tOCPD\tClamped\tAir\tSkin\tLug
w11-04\tMar 14, 2025 2:05 PM\tB7\tattic\tM\tMAIN\t125A\t22 A\t88 °F\t97.5 °F\t
w11-04\tMar 14, 2025 2:05 PM\tB7\tattic\t#1\tthermal mag\t20 amps\t3.1A\t88F\t92 F\t
w11-04\tMar 14, 2025 2:05 PM\tB7\tattic\t#2\tAFCI/GFCI combo\t20\t7A\t31C\t41.5 C\t105 °F
w11-04\tMar 14, 2025 2:05 PM\tB7\tattic\t5-7\tregular\t30A 2-pole\t1,3 A\t88°F\t91°F\t91
w11-04\tMar 14, 2025 2:05 PM\tB7\tattic\t#4\tSPD\t2P30\t--\t88 deg F\t104\t
w11-04\tMar 14, 2025 2:05 PM\tB7\tattic\t#6\tStd\t15\t2A\t88 °F\t90 °F\t
w11-04\tMar 14, 2025 2:05 PM\tB7\tattic\t#6\tStd\t15\t2A\t88 °F\t90 °F\t
"""


def test_utf16_tabs_with_units_in_the_cells(warehouse: Warehouse, tmp_path: Path) -> None:
    path, plan = tmp_path / "w11.txt", tmp_path / "crew.toml"
    path.write_bytes(UTF16.encode("utf-16"))
    plan.write_text(
        '[columns]\ninspection_id = "Visit"\ninspected_at = "When"\npanel_id = "Box"\n'
        'panel_location = "Hangs in"\nposition = "Way"\ndevice_class = "Sort"\nrated_a = "OCPD"\n'
        'current_a = "Clamped"\nambient_temp = "Air"\ndevice_temp = "Skin"\n'
        'termination_temp = "Lug"\n'
    )
    report = only(take(warehouse, path, column_map=plan))
    assert (report.read, report.kept, report.repeated, report.quarantined) == (7, 5, 1, 1)
    columns = "position, device_class, poles, rated_a, current_a, ambient_degc, device_degc"
    f = {n: pytest.approx(to_degc(n, "degF")) for n in (88, 97.5, 92, 91, 90)}
    assert readings(warehouse, columns) == [
        (0, "main", 1, 125.0, 22.0, f[88], f[97.5]),
        (1, "standard", 1, 20.0, 3.1, f[88], f[92]),
        (2, "dual_function", 1, 20.0, 7.0, 31.0, 41.5),
        (5, "standard", 2, 30.0, 1.3, f[88], f[91]),
        (6, "standard", 1, 15.0, 2.0, f[88], f[90]),
    ]
    assert readings(warehouse, "distinct inspected_at::varchar, panel_location") == [
        ("2025-03-14 14:05:00", "attic")
    ]
    assert readings(warehouse, "termination_degc", "position = 2") == [
        (pytest.approx(to_degc(105, "degF")),)
    ]
    # 91 and 104 stand without a unit, and nothing else tells it: never guessed
    assert "unit_missing" in codes(warehouse)[7]
    assert "cell_without_unit" in codes(warehouse)[6]
