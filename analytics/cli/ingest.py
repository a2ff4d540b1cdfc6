"""`loadrise ingest`: take spreadsheets of readings or findings into the store."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from analytics.cli.output import print_lines, print_result
from analytics.cli.session import Session
from analytics.errors import UsageError

if TYPE_CHECKING:
    from analytics.ingest.report import FileReport, IngestReport

MOST_REMARKS = 40
"""Rejections and marks shown of one file; the rest is counted, and in the exports."""


@click.command(
    short_help="Take spreadsheets of readings or findings into the store.",
    epilog="Example: loadrise --store fleet.duckdb ingest readings.csv --dry-run",
)
@click.argument("paths", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--map",
    "map_path",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Column map (TOML): which header is which column, units, spellings.",
)
@click.option("--dry-run", is_flag=True, help="Show what would be kept and rejected; keep nothing.")
@click.option("--accept-guesses", is_flag=True, help="Use guessed headers instead of refusing.")
@click.option(
    "--write-map",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the guessed column map to this file, to be corrected.",
)
@click.option("--json", "is_json", is_flag=True, help="Print the report as JSON.")
@click.pass_obj
def command(
    session: Session,
    paths: tuple[Path, ...],
    map_path: Path | None,
    dry_run: bool,
    accept_guesses: bool,
    write_map: Path | None,
    is_json: bool,
) -> None:
    """Take CSV, XLSX and Parquet files, and folders of them, into the store.

    Rows that cannot be kept wait in quarantine with their reason; odd ones are kept and marked.
    The same file again changes nothing; a corrected row replaces the older one.
    """
    from analytics.ingest.load import ingest
    from analytics.warehouse import open_store

    with open_store(session.require_store()) as warehouse:
        report = ingest(
            warehouse,
            paths,
            column_map=map_path,
            dry_run=dry_run,
            accept_guesses=accept_guesses,
        )
    if write_map:
        _write_map(report, write_map)
    if is_json:
        print_result(report)
    else:
        print_lines(_words(report, is_dry_run=dry_run))
    if report.exit_code:
        sys.exit(report.exit_code)


def _write_map(report: IngestReport, path: Path) -> None:
    maps = [file.suggested_map for file in report.files if file.suggested_map]
    if not maps:
        raise UsageError("No file needs a column map; none was written.")
    if path.exists():
        raise UsageError(f"{path} is there already; it was left as it is.")
    path.write_text(maps[0], encoding="utf-8")


def _words(report: IngestReport, *, is_dry_run: bool) -> Iterator[str]:
    for file in report.files:
        yield from _file_words(file, is_dry_run=is_dry_run)
    for notice in report.notices:
        yield notice.sentence
    verb = "would be kept" if is_dry_run else "kept"
    yield (
        f"{report.read:,} rows read: {report.kept:,} {verb} ({report.superseding:,} of them "
        f"corrections), {report.repeated:,} known already, {report.quarantined:,} in quarantine."
    )


def _file_words(file: FileReport, *, is_dry_run: bool) -> Iterator[str]:
    if file.is_trouble:
        yield f"{file.name}: {file.status}. {file.error}"
        if file.suggested_map:
            yield "A column map to start from (see --write-map):"
            yield file.suggested_map
    elif file.status == "kept":
        yield (
            f"{file.name}: {file.read:,} rows, {file.kept:,} kept ({file.marked:,} marked "
            f"recheck), {file.repeated:,} known already, {file.quarantined:,} in quarantine."
        )
    for notice in file.notices:
        yield f"{file.name}: {notice.sentence}"
    if is_dry_run:
        yield from (_match_words(m.column, m.header, m.how, m.unit) for m in file.matches)
        if file.ignored:
            yield f"  left out: {', '.join(file.ignored)}"
    yield from _remark_words(file)


def _match_words(column: str, header: str, how: str, unit: str) -> str:
    return f"  {column:<20} from “{header}” ({how}{', ' + unit if unit else ''})"


def _remark_words(file: FileReport) -> Iterator[str]:
    for remark in file.remarks[:MOST_REMARKS]:
        sheet = f"{remark.sheet} " if remark.sheet else ""
        yield f"  {remark.kind} {sheet}line {remark.line}, {remark.code}: {remark.sentence}"
    if len(file.remarks) > MOST_REMARKS:
        yield f"  … and {len(file.remarks) - MOST_REMARKS:,} more; see loadrise export."
