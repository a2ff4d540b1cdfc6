"""The queries that take a slice in, and those that judge a whole file."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from analytics.errors import StoreError
from analytics.ingest import incoming
from analytics.ingest.incoming import Reading
from analytics.warehouse import Warehouse

DECIMALS_SHARE = 0.005
"""Share of currents with more decimals than the others that is a slip; chosen, more is a habit."""
LEAST_DATES = 50
"""Rows below which a file's usual dates are not known; chosen."""


@dataclass(frozen=True)
class SliceCounts:
    """Rows of a slice: all, blank ones, kept, known before, not kept; cells of findings lost."""

    rows: int
    blank: int
    kept: int
    repeated: int
    quarantined: int
    lost: tuple[str, ...] = ()


def parse(warehouse: Warehouse, kind: str, reading: Reading) -> int:
    """Parse the slice that is shown; return its rows."""
    return warehouse.stage(f"staging.{kind}_parsed", f"parsed_{kind}", **_how(kind, reading))


def _how(kind: str, reading: Reading) -> dict[str, object]:
    told: dict[str, object] = {"date_order": reading.date_order, "words": reading.words}
    if kind == "reading":
        told |= {"is_comma": reading.is_comma, **_how_plain(reading)}
    return told


def _how_plain(reading: Reading) -> dict[str, object]:
    return {"unit": dict(reading.unit), "words": reading.words, **incoming.ranges()}


@dataclass(frozen=True)
class Place:
    """Where a slice belongs: file, sheet, first line; `id_less_line` makes a line an identity."""

    file_id: int
    sheet: str | None
    id_less_line: int
    first_line: int

    @property
    def of_file(self) -> dict[str, object]:
        """File and sheet, as parameters."""
        return {"file_id": self.file_id, "sheet": self.sheet}


def keep_at_once(
    warehouse: Warehouse, reading: Reading, place: Place, *, is_plain: bool = False
) -> int:
    """Keep the rows of the shown slices that have no trouble at all; return how many.

    With `is_plain`, only those that the quick reading can read, which takes a fifth less time.
    Their order in the table is left to chance, which takes a third less time; `line` tells it.
    """
    table, told = "records.reading", {**place.of_file, "id_less_line": place.id_less_line}
    warehouse.execute("set preserve_insertion_order = false")
    try:
        if is_plain:
            return warehouse.append("staging.reading_plain", table, **told, **_how_plain(reading))
        return warehouse.append_through(
            "staging.reading_parsed",
            "parsed_reading",
            "staging.reading_direct",
            table,
            {**told, **_how("reading", reading)},
        )
    finally:
        warehouse.execute("set preserve_insertion_order = true")


def keep(warehouse: Warehouse, kind: str, place: Place) -> SliceCounts:
    """Keep the good rows of the parsed slice, tell why others are not kept."""
    rows, good, troubled, first_rowid = warehouse.row(f"staging.{kind}_parsed_count")
    lines = {
        "id_less_line": place.id_less_line,
        "line_less_rowid": place.first_line - first_rowid,
    }
    kept = warehouse.append(f"staging.{kind}_kept", f"records.{kind}", **place.of_file, **lines)
    blank = quarantined = 0
    lost: list[str] = []
    if troubled:
        warehouse.stage(f"staging.{kind}_fault", "row_fault", **lines)
        warehouse.append("staging.quarantine_row", "records.quarantine", **place.of_file)
        if kind == "reading":
            warehouse.append("staging.lost_cell", "records.recheck", file_id=place.file_id)
        else:
            cells = warehouse.rows("staging.finding_lost")
            lost = [f"line {line}, {column} “{cell}”" for line, column, cell in cells]
        blank, quarantined = warehouse.row("staging.fault_count")
    if rows != good + blank + quarantined:
        raise StoreError(
            f"Rows do not add up: {rows} read, {good} good, {quarantined} not, {blank} blank."
        )
    return SliceCounts(rows, blank, kept, good - kept, quarantined, tuple(lost))


def settle_rivals(warehouse: Warehouse, kind: str, file_id: int) -> tuple[int, int]:
    """Take out rows repeated within the file, let later rows supersede; return both counts."""
    warehouse.stage(f"staging.{kind}_touched", "touched_visit", file_id=file_id)
    if not warehouse.stage(f"staging.{kind}_crowded", "crowded_visit"):
        warehouse.stage(f"staging.{kind}_rival", "rival_row", file_id=file_id)
        return 0, 0
    warehouse.stage(f"staging.{kind}_rival", "rival_row", file_id=file_id)
    repeated = "(select row_id from rival_row where is_repeated)"
    superseded = "(select row_id from rival_row where is_superseded)"
    if kind == "reading":
        warehouse.execute(f"delete from records.recheck where reading_id in {repeated}")
    warehouse.execute(f"delete from records.{kind} where {kind}_id in {repeated}")
    warehouse.execute(
        f"update records.{kind} set is_current = false where {kind}_id in {superseded}"
    )
    counts = warehouse.row("staging.rival_count", file_id=file_id)
    return int(counts[0]), int(counts[1])


def mark(warehouse: Warehouse, file_id: int, now: dt.datetime, units: frozenset[str]) -> None:
    """Mark the file's readings that contradict themselves, their panel, or one another."""
    shape = dict(zip(_SHAPE, warehouse.row("staging.file_shape", file_id=file_id), strict=True))
    warehouse.stage("staging.visit_outline", "visit_outline")
    warehouse.stage("staging.visit_shape", "visit_shape")
    warehouse.stage("staging.row_mark", "row_mark", file_id=file_id, now=now)
    told = {"has_fahrenheit": "degF" in units, "has_celsius": "degC" in units}
    warehouse.stage("staging.panel_mark", "panel_mark", file_id=file_id, **told)
    warehouse.stage("staging.stray_mark", "stray_mark", file_id=file_id)
    usual = {"current_decimals": _decimals(shape), **_usual_dates(shape)}
    warehouse.stage("staging.habit_mark", "habit_mark", file_id=file_id, **usual)
    warehouse.stage("staging.slot_mark", "slot_mark", file_id=file_id)
    warehouse.stage("staging.conflict_mark", "conflict_mark", file_id=file_id)
    warehouse.append("staging.recheck_row", "records.recheck")


_SHAPE = ("readings", "early_at", "late_at", "currents", "tenths", "hundredths", "thousandths")


def _decimals(shape: Mapping[str, object]) -> int:
    """Return the decimals nearly all currents keep to; 9 where that is no evidence."""
    few = DECIMALS_SHARE * float(str(shape["currents"]))
    for decimals, count in enumerate(("tenths", "hundredths", "thousandths")):
        if int(str(shape[count])) <= few:
            return decimals
    return 9


def _usual_dates(shape: Mapping[str, object]) -> dict[str, object]:
    if int(str(shape["readings"])) < LEAST_DATES:
        return {"early_at": dt.datetime(1991, 1, 1), "late_at": dt.datetime(2198, 1, 1)}
    return {"early_at": shape["early_at"], "late_at": shape["late_at"]}


def check_sum(read: int, kept: int, repeated: int, quarantined: int) -> None:
    """Raise StoreError unless every row read is kept, repeated or quarantined."""
    if read != kept + repeated + quarantined:
        raise StoreError(
            f"Rows do not add up: {read} read, {kept} kept, {repeated} repeated, "
            f"{quarantined} quarantined. Nothing was stored."
        )


def renew_hashes(warehouse: Warehouse) -> None:
    """Work the content hashes out anew where another version of the database made them."""
    if not warehouse.row("staging.stale_print")[0]:
        return
    for kind in ("reading", "finding"):
        warehouse.stage(f"staging.{kind}_rehash", "rehashed")
        warehouse.execute(
            f"update records.{kind} as k set content_hash = r.content_hash from rehashed as r "
            f"where r.row_id = k.{kind}_id"
        )
    warehouse.execute("update records.file_print set hash_probe = hash('loadrise')")
