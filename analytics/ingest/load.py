"""Taking files in: parse, judge, keep, mark and count, one file a transaction."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path

from analytics.errors import InputError
from analytics.ingest import anew, columnmap, intake, readers
from analytics.ingest.fingerprint import Fingerprint
from analytics.ingest.intake import Options, Progress
from analytics.ingest.report import FileReport, IngestReport
from analytics.notices import Notice
from analytics.plain import storable
from analytics.warehouse import Warehouse


def ingest(
    warehouse: Warehouse,
    paths: Sequence[Path],
    *,
    column_map: Path | None = None,
    dry_run: bool = False,
    accept_guesses: bool = False,
    again: bool = False,
    progress: Progress | None = None,
    now: dt.datetime | None = None,
) -> IngestReport:
    """Take readings and findings from files and folders into the store.

    Rows that cannot be kept go to quarantine with file, sheet, line, column, cell and reason; rows
    that contradict themselves or their panel are kept and marked. The same file again changes
    nothing. A file is taken in whole or not at all. Do not trust a count of kept rows as a count of
    good ones: a wrong number that is plausible is not noticed.

    Args:
        warehouse: an open store that may be written.
        paths: files and folders; folders are searched through and sorted.
        column_map: TOML file that says which header is which column.
        dry_run: do everything and keep nothing.
        accept_guesses: use guessed headers instead of refusing the file.
        again: read known files anew, such as with a better column map; what they left before makes
            room.
        progress: called while a file is read.
        now: time of the ingest, against which dates in the future are told; the clock's if None.

    Returns:
        The counts, matches, notices and rejections of each file.

    Raises:
        UsageError: a path or the column map is wrong. Trouble with one file is in its report.
    """
    plan = columnmap.read(column_map) if column_map else None
    files, notices = readers.expand(paths)
    options = Options(
        column_map=plan,
        accept_guesses=accept_guesses,
        is_again=again,
        is_dry_run=dry_run,
        is_single=len(files) == 1,
        now=now or dt.datetime.now(),
    )
    intake.prepare(warehouse)
    reports = [_one(warehouse, path, options, progress) for path in files]
    if not files:
        notices = [*notices, Notice("nothing_there", "There is no file to read.")]
    return IngestReport(tuple(reports), dry_run, tuple(notices))


def _one(
    warehouse: Warehouse, path: Path, options: Options, progress: Progress | None
) -> FileReport:
    fingerprint = Fingerprint(path)
    try:
        known = "" if options.is_again else fingerprint.known_as(warehouse)
    except OSError as error:
        return FileReport(
            storable(path.name), "failed", error=f"It cannot be read: {error.strerror}."
        )
    if known:
        sentence = (
            f"The same content was read in before as {known}; nothing to do. "
            "To read it anew with another column map, add --again."
        )
        return FileReport(storable(path.name), "known", notices=(Notice("known_file", sentence),))
    try:
        return _taken_in(warehouse, fingerprint, options, progress)
    except InputError as error:
        return FileReport(storable(path.name), "failed", error=str(error))


def _taken_in(
    warehouse: Warehouse, fingerprint: Fingerprint, options: Options, progress: Progress | None
) -> FileReport:
    if progress:
        progress(fingerprint.path.name, 0, fingerprint.size_bytes)
    source = readers.open_source(fingerprint.path, options.column_map)
    plans = intake.plans(source, options)
    if refused := intake.refusal(source, plans, options):
        return refused
    try:
        with warehouse.transaction():
            if options.is_again:
                anew.forget(warehouse, fingerprint.content_sha256)
            report = intake.run(warehouse, source, plans, fingerprint, options, progress)
            if options.is_dry_run:
                raise _DryRunError(report)
    except _DryRunError as end:
        return end.report
    return report


class _DryRunError(Exception):
    """Carries the report out of a transaction that is to be rolled back."""

    def __init__(self, report: FileReport) -> None:
        super().__init__()
        self.report = report
