"""One cell in, one value out. Spellings are common practice, no published source."""

from __future__ import annotations

from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analytics.units import to_degc
from analytics.warehouse import Warehouse, open_store

STORE = open_store()


def ask(expression: str, cell: object, **more: object) -> object:
    return STORE.fetch(f"select {expression}", {"cell": cell, **more})[0][0]


def warmth(cell: str, unit: str | None = "degF", *, is_comma: bool = False) -> object:
    expression = "parse_warmth($cell::varchar, $is_comma, $unit::varchar)"
    return ask(expression, cell, is_comma=is_comma, unit=unit)


@pytest.mark.parametrize(
    ("cell", "degf"),
    [
        ("110", 110), ("110 °F", 110), (" 110.5F ", 110.5), ("110°", 110), ("110 deg F", 110),
        ("−4 °F", -4), ("+75", 75), ("98,6", 98.6), ("1,050", 1050), (".5", 0.5),
    ],
)  # fmt: skip
def test_fahrenheit_cells(cell: str, degf: float) -> None:
    # by definition of the scale, NIST SP 811 appendix B.8, through the one unit registry
    assert warmth(cell) == pytest.approx(to_degc(degf, "degF"))


@pytest.mark.parametrize(
    ("cell", "degc"),
    [("43C", 43), ("43 °C", 43), ("43,5 celsius", 43.5), ("43.5 deg C", 43.5)],
)
def test_a_unit_in_the_cell_wins(cell: str, degc: float) -> None:
    assert warmth(cell, "degF") == pytest.approx(degc)


@pytest.mark.parametrize("cell", ["inf", "-inf", "nan", "1O0", "~75", "60-65", "warm", "1,23,4"])
def test_what_is_no_temperature(cell: str) -> None:
    assert warmth(cell) is None


def test_without_any_unit_there_is_no_temperature() -> None:
    assert warmth("75", None) is None
    assert warmth("75 F", None) == pytest.approx(to_degc(75, "degF"))


@pytest.mark.parametrize(
    ("cell", "degc"),
    [("21,5", 21.5), ("21.5", 21.5), ("1.234,5", 1234.5), ("12,500", 12.5), ("1.234", 1234)],
)
def test_in_a_file_of_decimal_commas(cell: str, degc: float) -> None:
    assert warmth(cell, "degC", is_comma=True) == pytest.approx(degc)


@settings(max_examples=150, deadline=None)
@given(
    st.decimals(min_value=-9999, max_value=9999, places=2),
    st.sampled_from(["plain", "grouped", "comma", "grouped comma"]),
)
def test_a_number_written_in_any_way_comes_back(number: object, style: str) -> None:
    plain = f"{number:.2f}"
    grouped = f"{number:,.2f}"
    cell = {
        "plain": plain,
        "grouped": grouped,
        "comma": plain.replace(".", ","),
        "grouped comma": grouped.translate(str.maketrans(",.", ".,")),
    }[style]
    for is_comma in (False, True):
        found = ask("parse_quantity($cell::varchar, $comma, 'a')", cell, comma=is_comma)
        assert found == pytest.approx(float(str(number)))


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=12))
def test_no_text_breaks_the_parsing(text: str) -> None:
    text = text.replace("\0", "")
    number = ask("parse_quantity($cell::varchar, false, 'a|amps?')", text)
    assert number is None or abs(float(str(number))) < float("inf")
    for macro in ("parse_slot", "parse_poles", "parse_wire"):
        ask(f"{macro}($cell::varchar)", text)
    ask("parse_dated($cell::varchar, 'mdy')", text)
    ask("parse_running($cell::varchar, false)", text)


@pytest.mark.parametrize(
    ("cell", "rated", "poles"),
    [
        ("2P30", 30, 2), ("30/2", 30, 2), ("30A 2-pole", 30, 2), ("DP 30", 30, 2),
        ("2x30", 30, 2), ("2 pole 30", 30, 2), ("30A2P", 30, 2), ("50A/2P", 50, 2),
        ("2-polig 30A", 30, 2), ("30 A bipolar", 30, 2), ("double pole 30", 30, 2),
        ("C16", 16, None), ("20", 20, None), ("15 amps", 15, None), ("1P20", 20, 1),
        ("1P+N C16", 16, 1), ("big", None, None), ("2P C20", 20, 2), ("30 DP", 30, 2),
    ],
)  # fmt: skip
def test_rating_cells(cell: str, rated: float | None, poles: int | None) -> None:
    assert ask("parse_rated($cell::varchar, false)", cell) == rated
    assert ask("parse_told_poles(null, $cell::varchar, null)", cell) == poles


@pytest.mark.parametrize(
    ("cell", "slot"),
    [
        ("5", 5), ("5.0", 5), ("#5", 5), ("slot 12", 12), ("5/7", 5), ("5-7", 5), ("main", 0),
        ("M", 0), ("Main breaker", 0), ("5/8", None), ("1.5", None), ("L3", None), ("inf", None),
        ("1/3/5", 1), ("2-4-6", 2), ("1/3/7", None), ("Général", 0), ("14 & 16", 14),
    ],
)  # fmt: skip
def test_position_cells(cell: str, slot: int | None) -> None:
    assert ask("parse_slot($cell::varchar)", cell) == slot


@pytest.mark.parametrize(
    ("cell", "poles"), [("5/7", 2), ("1/3/5", 3), ("2, 4, 6", 3), ("1/2/3", None), ("5", None)]
)
def test_poles_of_position_cells(cell: str, poles: int | None) -> None:
    # common practice, no published source: a pole takes every second slot, top down
    assert ask("parse_slot_poles($cell::varchar)", cell) == poles


@pytest.mark.parametrize(
    ("cell", "wire", "material"),
    [
        ("12", "12", None), ("#12", "12", None), ("12 AWG", "12", None), ("12 Cu", "12", "copper"),
        ("12/2", "12", None), ("1/0", "1/0", None), ("250 kcmil", "250", None),
        ("4/0 Al", "4/0", "aluminium"), ("2,5 mm²", "2.5 mm2", None), ("twelve", None, None),
    ],
)  # fmt: skip
def test_wire_cells(cell: str, wire: str | None, material: str | None) -> None:
    assert ask("parse_wire($cell::varchar)", cell) == wire
    assert ask("parse_wire_material($cell::varchar)", cell) == material


@pytest.mark.parametrize(
    ("cell", "order", "moment"),
    [
        ("2024-03-14", "mdy", (2024, 3, 14)),
        ("2024-03-14T10:30:00-05:00", "mdy", (2024, 3, 14, 10, 30)),
        ("2024-03-14 8:05 PM", "mdy", (2024, 3, 14, 20, 5)),
        ("3/4/24", "mdy", (2024, 3, 4)),
        ("3/4/24", "dmy", (2024, 4, 3)),
        ("3/14/2024, 9:05 AM", "mdy", (2024, 3, 14, 9, 5)),
        ("14.3.2024 09:30", "dmy", (2024, 3, 14, 9, 30)),
        ("14.03.24, 09:30 Uhr", "dmy", (2024, 3, 14, 9, 30)),
        ("14-Mar-24", "mdy", (2024, 3, 14)),
        ("45292.5", "mdy", (2024, 1, 1, 12)),
        ("2024-02-30", "mdy", None),
        ("13/14/24", "mdy", None),
        ("0024-01-02", "mdy", None),
        ("infinity", "mdy", None),
        ("12", "mdy", None),
    ],
)
def test_date_cells(cell: str, order: str, moment: tuple[int, ...] | None) -> None:
    expected = datetime(*moment) if moment else None  # type: ignore[arg-type]
    assert ask("parse_dated($cell::varchar, $order)", cell, order=order) == expected


@pytest.mark.parametrize(
    ("cell", "minutes"),
    [("45", 45), ("45 min", 45), ("1.5 h", 90), ("1 h 30 min", 90), ("1:30", 90), ("2h", 120)],
)
def test_minutes_cells(cell: str, minutes: float) -> None:
    assert ask("parse_running($cell::varchar, false)", cell) == minutes


def test_the_scale_in_sql_is_the_registry_s(warehouse: Warehouse) -> None:
    for unit in ("degF", "degC"):
        for number in (-40.0, 0.0, 32.0, 98.6, 250.0):
            found = warehouse.fetch(
                "select parse_to_degc($number::double, $unit)", {"number": number, "unit": unit}
            )
            assert found[0][0] == pytest.approx(to_degc(number, unit), abs=1e-12)


@pytest.mark.parametrize(
    ("cell", "meaning"),
    [
        ("AFCI/GFCI combo", "dual_function"), ("combination arc fault", "afci"), ("CAFCI", "afci"),
        ("DF", "dual_function"), ("dual func", "dual_function"), ("Std", "standard"),
        ("thermal mag", "standard"), ("TM", "standard"), ("GFI", "gfci"), ("RCBO", "gfci"),
        ("SPD", "surge_protector"), ("Surge", "surge_protector"), ("CT monitor", "energy_monitor"),
        ("MAIN", "main"), ("dual_function", "dual_function"), ("gizmo", None),
    ],
)  # fmt: skip
def test_class_spellings(cell: str, meaning: str | None) -> None:
    from analytics.ingest.rules import words

    table = words(None)["device_class"]
    assert ask("parse_spelled($cell::varchar, $words)", cell, words=table) == meaning


def test_python_and_sql_agree_on_keys() -> None:
    from analytics.ingest.names import key

    for text in ("AFCI/GFCI combo", "Überspannungsschutz", "Magnetotérmico", " Std. ", "núm."):
        assert ask("parse_key($cell::varchar)", text) == key(text)
