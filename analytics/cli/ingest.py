"""`loadrise ingest`: spreadsheets into the store."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Timer
from typing import TYPE_CHECKING

import click

from analytics.cli.output import print_lines, print_result, say
from analytics.cli.session import Session
from analytics.plain import printable

if TYPE_CHECKING:
    from rich.progress import Progress as Bar
    from rich.progress import TextColumn

    from analytics.ingest.intake import Progress
    from analytics.ingest.report import IngestReport

PROGRESS_AFTER_S = 2.0
"""Seconds before a progress bar shows; chosen."""


@click.command(
    short_help="Take spreadsheets of readings or findings into the store.",
    epilog="Example: loadrise --store fleet.duckdb ingest readings.csv --dry-run",
)
@click.argument("paths", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--map",
    "column_map",
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
@click.option(
    "--again", is_flag=True, help="Read known files anew, with the column map as it is now."
)
@click.option("--json", "is_json", is_flag=True, help="Print the report as JSON.")
@click.pass_context
def command(
    ctx: click.Context,
    paths: tuple[Path, ...],
    column_map: Path | None,
    dry_run: bool,
    accept_guesses: bool,
    write_map: Path | None,
    again: bool,
    is_json: bool,
) -> None:
    """Take CSV, XLSX and Parquet files, and folders of them, into the store.

    Rows that cannot be kept wait in quarantine with their reason; odd ones are kept and marked.
    The same file again changes nothing, unless --again is given; a corrected row replaces the
    older one.
    """
    from analytics.ingest.load import ingest
    from analytics.warehouse import open_store

    session: Session = ctx.obj
    with open_store(_store(session, dry_run)) as warehouse, _bar() as progress:
        report = ingest(
            warehouse,
            paths,
            column_map=column_map,
            dry_run=dry_run,
            accept_guesses=accept_guesses,
            again=again,
            progress=progress,
        )
    if write_map:
        _write_map(report, write_map)
    if is_json:
        print_result(report)
    else:
        from analytics.ingest.words import lines

        print_lines(lines(report))
    ctx.exit(report.exit_code)


def _store(session: Session, dry_run: bool) -> Path | str:
    """Return the store's path; a dry run needs none and makes none."""
    from analytics.warehouse import MEMORY

    if dry_run and (session.store is None or not session.store.exists()):
        return MEMORY
    return session.require_store()


def _write_map(report: IngestReport, path: Path) -> None:
    from analytics.errors import UsageError

    maps = [file.suggested_map for file in report.files if file.suggested_map]
    if not maps:
        raise UsageError("There is no column map to write: no file was refused for its headers.")
    if path.exists():
        raise UsageError(f"{path.name} is there already; it was left as it is.")
    path.write_text(maps[0], encoding="utf-8")
    sentence = f"The column map was written to {path}; correct it, then give it with --map."
    say(sentence, is_trouble=True)


@contextmanager
def _bar() -> Iterator[Progress | None]:
    """Yield what shows progress once the work takes long; nothing where nobody looks."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, DownloadColumn, Progress, TimeElapsedColumn

    columns = (name_column(), BarColumn(), DownloadColumn(), TimeElapsedColumn())
    shown = Progress(*columns, console=Console(stderr=True), transient=True)
    late = Timer(PROGRESS_AFTER_S, shown.start)
    late.daemon = True
    late.start()
    try:
        yield _OneFile(shown)
    finally:
        late.cancel()
        late.join()
        shown.stop()


def name_column() -> TextColumn:
    """Return the column of a file's name, in which nothing counts as markup."""
    from rich.progress import TextColumn

    return TextColumn("{task.description}", markup=False)


class _OneFile:
    """Tells a progress bar of the file that is being read, and of no earlier one."""

    def __init__(self, shown: Bar) -> None:
        self.shown, self.name = shown, ""

    def __call__(self, name: str, done: int, total: int) -> None:
        if name != self.name:
            for task in self.shown.task_ids:
                self.shown.remove_task(task)
            self.shown.add_task(printable(name), total=total)
            self.name = name
        self.shown.update(self.shown.task_ids[-1], completed=done)
