"""One file on its way into the store: its slices parsed and kept, then judged in context."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable
from dataclasses import dataclass

from analytics.errors import InputError
from analytics.ingest import incoming, mapping, names, rules, stages
from analytics.ingest.columnmap import ColumnMap
from analytics.ingest.feed import Feed, Tally
from analytics.ingest.fingerprint import Fingerprint
from analytics.ingest.mapping import ColumnPlan
from analytics.ingest.readers import Sheet, Source
from analytics.ingest.report import FileReport, Remark
from analytics.ingest.suggestion import Seen, suggest
from analytics.notices import Notice
from analytics.plain import storable
from analytics.warehouse import Warehouse

MOST_REMARKS = 10_000
"""Remarks a report carries; the store holds them all; chosen: nobody reads more."""
Progress = Callable[[str, int, int], None]
"""Called with file name, bytes behind and bytes in all."""


@dataclass(frozen=True)
class Options:
    """How the caller wants files taken in."""

    column_map: ColumnMap | None
    accept_guesses: bool
    is_again: bool
    is_dry_run: bool
    is_single: bool
    now: dt.datetime


def prepare(warehouse: Warehouse) -> None:
    """Lay out the catalogue and the wire table for the queries."""
    catalogue = rules.catalogue().values()
    told = {name: [getattr(r, name) for r in catalogue] for name in ("code", "kind", "sentence")}
    incoming.lay(warehouse, "rule", told)
    materials, sizes, limits = zip(*rules.wire_limits(), strict=True)
    wires = {"material": materials, "awg": sizes, "limit_a": limits}
    incoming.lay(warehouse, "wire_limit", wires)


def plans(source: Source, options: Options) -> list[ColumnPlan]:
    """Decide which header is which column, for each sheet of the file."""
    is_strict = options.is_single and len(source.sheets) == 1
    return [_plan(sheet, options, is_strict) for sheet in source.sheets]


def _plan(sheet: Sheet, options: Options, is_strict: bool) -> ColumnPlan:
    try:
        return mapping.resolve(
            sheet.place.header,
            options.column_map,
            accept_guesses=options.accept_guesses,
            is_strict=is_strict,
        )
    except InputError as error:
        if not sheet.name:
            raise
        raise InputError(
            f"Sheet “{sheet.name}”: {error.message}",
            f'{error.remedy} Where sheets differ, write {{ either = ["One", "Other"] }}; where the '
            'panel stands on a line of its own, { own_line = "Panel:" }.',
        ) from error


def refusal(source: Source, found: list[ColumnPlan], options: Options) -> FileReport | None:
    """Return why the file is not taken in, with a column map ready to be saved; else None."""
    for sheet, plan in zip(source.sheets, found, strict=True):
        reason = _reason(plan, sheet, options)
        if reason:
            return FileReport(
                storable(source.path.name),
                "refused",
                holds=plan.kind,
                matches=(*plan.matches, *plan.pending),
                ignored=plan.ignored,
                notices=(*source.notices, *plan.notices),
                error=f"Sheet “{sheet.name}”: {reason}" if sheet.name else reason,
                suggested_map=suggest(_seen(source, found), options.column_map),
            )
    return None


def _seen(source: Source, found: list[ColumnPlan]) -> list[Seen]:
    return [
        Seen(sheet.name or "", sheet.place.header, plan)
        for sheet, plan in zip(source.sheets, found, strict=True)
    ]


def _reason(plan: ColumnPlan, sheet: Sheet, options: Options) -> str:
    if gone := plan.unlike:
        told = "; ".join(f"{name} ({names.meaning(name)})" for name in gone)
        headers = ", ".join(f"“{cell}”" for cell in sheet.place.header.cells if cell)
        return (
            f"No header says where to find {told}, which cannot be done without. Save the column "
            f"map below, name the headers there and give it with --map. The headers are {headers}."
        )
    if plan.missing or (plan.pending and not options.column_map):
        shown = "; ".join(f"{m.column} from “{m.header}”" for m in plan.pending)
        return (
            f"Some headers are only guessed: {shown}. Save the column map below and give it with "
            "--map, or agree with --accept-guesses."
        )
    if plan.kind == "reading" and not mapping.tells_unit(plan, sheet.place.header):
        return (
            "Nothing tells °F from °C: no header, no cell, no column temp_unit. Say it in the "
            'column map under [units], such as temp_unit = "degF".'
        )
    return ""


def run(
    warehouse: Warehouse,
    source: Source,
    found: list[ColumnPlan],
    fingerprint: Fingerprint,
    options: Options,
    progress: Progress | None,
) -> FileReport:
    """Take the file in; call inside a transaction. The counts of the report add up."""
    file_id, reading_id, finding_id = warehouse.row("staging.next_id")
    notices = [*source.notices]
    tallies = {"reading": Tally(file_id, reading_id), "finding": Tally(file_id, finding_id)}
    units: frozenset[str] = frozenset()
    stages.renew_hashes(warehouse)
    known = {
        kind: warehouse.stage(f"staging.{kind}_known", f"known_{kind}")
        for kind in {plan.kind for plan in found}
    }
    for sheet, plan in zip(source.sheets, found, strict=True):
        how = incoming.settle(plan, sheet, options.column_map)
        units |= how.units
        notices += [*plan.notices, *how.notices]
        incoming.put_columns(warehouse, plan, sheet.place.header, how)
        is_direct = plan.kind == "reading" and not known[plan.kind]
        feed = Feed(warehouse, sheet, plan, how, tallies[plan.kind], is_direct)
        feed.run(_reporter(progress, fingerprint))
    for kind, tally in tallies.items():
        if any(plan.kind == kind for plan in found):
            repeated, tally.superseding = stages.settle_rivals(warehouse, kind, file_id)
            tally.repeated += repeated
    if tallies["reading"].read:
        stages.mark(warehouse, file_id, options.now, units)
    if lost := tallies["finding"].lost:
        sentence = (
            f"Cells of findings that could not be read and were left empty: {'; '.join(lost)}."
        )
        notices.append(Notice("finding_cell_not_read", sentence, {"cells": lost}))
    notices += _cleaning_notices(source)
    return _close(warehouse, source, found, fingerprint, options, tallies, notices)


def _reporter(progress: Progress | None, fingerprint: Fingerprint) -> Callable[[int], None]:
    def done(count: int) -> None:
        if progress:
            progress(fingerprint.path.name, count, fingerprint.size_bytes)

    return done


def _cleaning_notices(source: Source) -> list[Notice]:
    cleaning, found = source.cleaning, []
    if cleaning.own_lines:
        sentence = (
            f"{cleaning.own_lines} lines name what the rows below them belong to, as the map says."
        )
        found.append(Notice("own_lines", sentence, {"count": cleaning.own_lines}))
    if cleaning.filled_cells:
        sentence = f"{cleaning.filled_cells} empty cells took the value above them (fill_down)."
        found.append(Notice("filled_down", sentence, {"count": cleaning.filled_cells}))
    if cleaning.control_count:
        sentence = f"{cleaning.control_count} control characters were taken out of the text."
        found.append(Notice("control_characters", sentence))
    if cleaning.unseen_count:
        sentence = (
            f"{cleaning.unseen_count} characters that cannot be seen, or that turn the direction "
            "of writing, were taken out of the text."
        )
        found.append(Notice("unseen_characters", sentence))
    if cleaning.mixed_lines:
        sentence = f"{cleaning.mixed_lines} lines were not UTF-8 and were read as Windows-1252."
        found.append(Notice("mixed_encoding", sentence))
    if cleaning.encoding not in ("", "utf-8"):
        name = {"cp1252": "Windows-1252 (Western European)"}.get(
            cleaning.encoding, cleaning.encoding.upper()
        )
        found.append(Notice("encoding", f"The text was read as {name}."))
    return found


def _close(
    warehouse: Warehouse,
    source: Source,
    found: list[ColumnPlan],
    fingerprint: Fingerprint,
    options: Options,
    tallies: dict[str, Tally],
    notices: list[Notice],
) -> FileReport:
    """Write the file's row; return the report."""
    both = list(tallies.values())
    file_id = both[0].file_id
    kept, marked = warehouse.row("staging.file_row", file_id=file_id)
    read, repeated = sum(t.read for t in both), sum(t.repeated for t in both)
    quarantined = sum(t.quarantined for t in both)
    stages.check_sum(read, kept, repeated, quarantined)
    if read == 0:
        notices.append(Notice("no_rows", "It has a header and no rows: a blank form, perhaps."))
    holds = ",".join(dict.fromkeys(plan.kind for plan in found))
    report = FileReport(
        storable(source.path.name),
        "kept",
        holds,
        read,
        kept,
        repeated,
        quarantined,
        sum(t.superseding for t in both),
        marked,
        matches=tuple(m for plan in found for m in plan.matches),
        ignored=tuple(dict.fromkeys(h for plan in found for h in plan.ignored)),
        notices=tuple(notices),
        remarks=_remarks(warehouse, file_id),
        remark_counts=tuple(warehouse.rows("staging.remark_count", file_id=file_id)),
    )
    digest = source.cleaning.digest or fingerprint.content_sha256
    _write_file(warehouse, file_id, report, digest, fingerprint, options)
    return report


def _remarks(warehouse: Warehouse, file_id: int) -> tuple[Remark, ...]:
    rows = warehouse.rows("staging.remark", file_id=file_id, most=MOST_REMARKS)
    return tuple(
        Remark(kind, sheet or "", line, column or "", cell or "", code, sentence)
        for kind, sheet, line, column, cell, code, sentence in rows
    )


def _write_file(
    warehouse: Warehouse,
    file_id: int,
    report: FileReport,
    digest: str,
    fingerprint: Fingerprint,
    options: Options,
) -> None:
    told = {m.column: {"header": m.header, "how": m.how, "unit": m.unit} for m in report.matches}
    warehouse.append(
        "staging.file_entry",
        "records.source_file",
        file_id=file_id,
        file_name=report.name,
        content_sha256=digest,
        size_bytes=fingerprint.size_bytes,
        holds=report.holds,
        ingested_at=options.now.astimezone(dt.UTC),
        column_map=json.dumps(told, ensure_ascii=False),
        rows_read=report.read,
        rows_kept=report.kept,
        rows_repeated=report.repeated,
        rows_quarantined=report.quarantined,
        rows_superseding=report.superseding,
    )
    warehouse.append(
        "staging.file_print_entry",
        "records.file_print",
        file_id=file_id,
        changed_ns=fingerprint.changed_ns,
        sample_sha256=fingerprint.sample_sha256,
    )
