"""Which finding of a device stands: one rule for the tuning and for the quarter's page."""

from __future__ import annotations

from pathlib import Path

import pytest

from analytics import tuning
from analytics.warehouse import Warehouse, open_store
from tests.cli.fleet import make_store

LOOKS = (
    (5, "2026-04-10", "loose_connection", True),
    (5, "2026-04-12", "nothing_found", True),
    (6, "2026-04-03", "device_fault", True),
    (6, "2027-04-03", "device_fault", True),
    (7, "2026-04-10", "nothing_found", True),
    (7, "2026-04-12", "overload", True),
    (7, "2026-04-14", "device_fault", False),
)
"""Slot, day, finding, whether by a licensed electrician; visit V003 was scanned on 2026-04-04."""


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the small fleet with these findings of one visit."""
    path = make_store(tmp_path_factory.mktemp("findings") / "fleet.duckdb")
    with open_store(path) as warehouse, warehouse.transaction():
        for number, (slot, day, finding, is_licensed) in enumerate(LOOKS):
            warehouse.execute(
                "insert into records.finding by name select $number as finding_id, 1 as file_id, "
                "$number as line, $number as content_hash, true as is_current, 'V003' as "
                "inspection_id, 'P003' as panel_id, $slot as position, $day::timestamp as "
                "found_at, $finding as finding, $licensed as examined_by_licensed",
                {
                    "number": number,
                    "slot": slot,
                    "day": day,
                    "finding": finding,
                    "licensed": is_licensed,
                },
            )
    return path


def test_what_cannot_be_by_its_date_is_set_aside_and_listed(store: Path) -> None:
    with open_store(store, read_only=True) as warehouse:
        found = tuning.matched(warehouse)
        assert {(one.position, one.code) for one in found.set_aside} == {
            (6, "before_scan"), (6, "in_future"), (7, "not_by_licensed"),
        }  # fmt: skip
    text = "\n".join(found.lines())
    assert "3 findings set aside until that is put right:" in text
    assert "slot 6 (sheet.csv), device fault of 2026-04-03: dated before the scan" in text
    assert "device fault of 2027-04-03: dated after the day on which it was read in" in text


def test_the_words_say_which_of_two_stands_and_why(store: Path) -> None:
    with open_store(store, read_only=True) as warehouse:
        text = "\n".join(tuning.matched(warehouse).lines())
    assert "2 findings are contradicted by another:" in text
    assert (
        "slot 5: loose connection of 2026-04-10 stands, nothing found of 2026-04-12 does not: a "
        "fault or overload that was found stands against a later look" in text
    )
    assert "slot 7: overload of 2026-04-12 stands, nothing found of 2026-04-10 does not" in text


def test_the_quarter_page_and_the_tuning_let_the_same_finding_stand(store: Path) -> None:
    with open_store(store, read_only=True) as warehouse:
        tuning.matched(warehouse)
        tuned = _standing(warehouse, "tuning.reading_finding", "")
        page = _standing(
            warehouse,
            "standing_finding('records.finding', 'normalise.measure', 'records.source_file')",
            "where is_licensed",
        )
    assert [finding for _, _, finding in tuned] == ["loose_connection", "overload"]
    assert tuned == page


def _standing(warehouse: Warehouse, table: str, which: str) -> list[tuple[object, ...]]:
    return warehouse.fetch(
        f"select reading_id, finding_id, finding from {table} {which} order by 1"
    )
