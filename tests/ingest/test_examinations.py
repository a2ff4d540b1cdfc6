"""Findings of one device: what corrects another, and what is a second examination."""

from __future__ import annotations

from pathlib import Path

import duckdb

from analytics import querybook
from analytics.ingest.load import ingest
from analytics.ingest.report import FileReport
from analytics.warehouse import Warehouse, open_store
from tests.ingest.desk import NOW, only

HEAD = "inspection_id,panel_id,position,found_at,finding\n"


def take(warehouse: Warehouse, path: Path, *lines: str, plan: Path | None = None) -> FileReport:
    """Read findings in from a file of these lines, or anew by a column map."""
    if lines:
        path.write_text(HEAD + "".join(f"{line}\n" for line in lines), encoding="utf-8")
    again = plan is not None
    return only(ingest(warehouse, [path], column_map=plan, again=again, now=NOW))


def current(warehouse: Warehouse) -> list[tuple[object, ...]]:
    """Return the findings that are current: slot, day found and word."""
    return warehouse.fetch(
        "select position, strftime(found_at, '%m-%d'), finding from records.finding "
        "where is_current order by position, found_at nulls first, finding"
    )


def test_another_time_is_a_second_examination_and_the_same_a_correction(tmp_path: Path) -> None:
    with open_store(tmp_path / "firm.duckdb") as warehouse:
        first = take(
            warehouse,
            tmp_path / "a.csv",
            "V1,P1,5,2026-03-10,loose connection",
            "V1,P1,5,2026-03-12,nothing found",
            "V1,P1,7,2026-03-10,nothing found",
            "V1,P1,7,2026-03-10,device fault",
        )
        assert (first.kept, first.repeated, first.superseding) == (4, 0, 1)
        loose, fault = (5, "03-10", "loose_connection"), (7, "03-10", "device_fault")
        assert current(warehouse) == [loose, (5, "03-12", "nothing_found"), fault]
        second = take(warehouse, tmp_path / "b.csv", "V1,P1,5,2026-03-12,overload")
        assert second.superseding == 1
        assert current(warehouse) == [loose, (5, "03-12", "overload"), fault]
        older = take(
            warehouse, tmp_path / "c.csv", "V1,P1,5,2026-03-12,nothing found", "V1,P1,9,,overload"
        )
        assert (older.kept, older.repeated) == (1, 1), "known from the history, no newer word"
        assert current(warehouse)[1] == (5, "03-12", "overload")


def test_a_file_read_anew_gives_back_the_examination_that_it_had_corrected(tmp_path: Path) -> None:
    plan = tmp_path / "firm.toml"
    plan.write_text('[constants]\ninspection_id = "V2"\n')
    with open_store(tmp_path / "firm.duckdb") as warehouse:
        lines = ("V1,P1,5,2026-03-10,loose connection", "V1,P1,5,,nothing found")
        take(warehouse, tmp_path / "a.csv", *lines)
        take(warehouse, tmp_path / "b.csv", "V1,P1,5,2026-03-10,nothing found", "V1,P1,5,,overload")
        assert current(warehouse) == [(5, None, "overload"), (5, "03-10", "nothing_found")]
        take(warehouse, tmp_path / "b.csv", plan=plan)
        assert current(warehouse) == [
            (5, None, "nothing_found"),
            (5, None, "overload"),
            (5, "03-10", "loose_connection"),
            (5, "03-10", "nothing_found"),
        ]


def test_an_older_store_gets_its_second_examinations_back(tmp_path: Path) -> None:
    """Before migration 19 a later row of a slot took the place of every earlier one."""
    path = tmp_path / "firm.duckdb"
    steps = [sql for _, sql in querybook.statements("migrations")]
    with duckdb.connect(str(path)) as connection:
        for sql in steps[:18]:
            connection.execute(sql)
        connection.execute("insert into records.schema_version select 18, current_timestamp")
        for number, found_at, word, is_current in (
            (1, "2026-03-10", "nothing_found", False),
            (2, "2026-03-10", "loose_connection", False),
            (3, "2026-03-12", "nothing_found", True),
        ):
            connection.execute(
                "insert into records.finding values ($number, 1, null, $number, $number, $current, "
                "'V1', 'P1', 5, $found_at::timestamp, $word, true, null)",
                {"number": number, "current": is_current, "found_at": found_at, "word": word},
            )
        connection.execute("create table if not exists records.row_ledger as select 1 limit 0")
    with open_store(path) as warehouse:
        assert current(warehouse) == [
            (5, "03-10", "loose_connection"), (5, "03-12", "nothing_found"),
        ]  # fmt: skip
