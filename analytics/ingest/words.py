"""What an ingest did, in sentences."""

from __future__ import annotations

from collections.abc import Iterator

from analytics.ingest.report import FileReport, IngestReport, Remark

SHOWN_REJECTIONS = 1000
"""Rejected rows printed for one file of a dry run; chosen, the store keeps them all."""
CELL_WIDTH = 80


def lines(report: IngestReport) -> Iterator[str]:
    """Yield the report line by line: each file, then the sums."""
    for notice in report.notices:
        yield notice.sentence
    for file in report.files:
        yield from _file_lines(file, is_dry_run=report.is_dry_run)
        yield ""
    if len(report.files) > 1:
        yield f"All {len(report.files)} files: {_counts(report)}."
    if report.is_dry_run:
        yield "This was a dry run: nothing was stored."


def _counts(counted: FileReport | IngestReport) -> str:
    return (
        f"{counted.read:,} rows read = {counted.kept:,} kept + {counted.repeated:,} repeated + "
        f"{counted.quarantined:,} not kept"
    )


def _file_lines(file: FileReport, *, is_dry_run: bool) -> Iterator[str]:
    if file.status == "known":
        yield f"{file.name}: {file.notices[0].sentence}"
        return
    if file.is_trouble:
        yield f"{file.name}: not taken in. {printable(file.error)}"
        if file.suggested_map:
            yield from ("", "# --- column map, ready to be saved as a .toml file ---")
            yield file.suggested_map
        return
    yield f"{file.name}: {_counts(file)}."
    if file.superseding:
        yield f"  {file.superseding:,} of the kept rows correct earlier ones."
    if file.marked:
        yield f"  {file.marked:,} of the kept rows are marked for a recheck."
    for notice in file.notices:
        yield f"  Note: {printable(notice.sentence)}"
    if file.ignored:
        shown = ", ".join(f"“{printable(h)}”" for h in file.ignored)
        yield f"  Columns left out, not stored: {shown}."
    if is_dry_run:
        yield from _mapping_lines(file)
    for kind, code, count in file.remark_counts:
        word = "not kept" if kind == "quarantine" else "to recheck"
        yield f"  {word}: {count:,} × {code}"
    if is_dry_run:
        yield from _rejection_lines(file)


def _mapping_lines(file: FileReport) -> Iterator[str]:
    yield "  Columns:"
    for match in file.matches:
        unit = f" [{match.unit}]" if match.unit else ""
        yield f"    {match.column} from “{printable(match.header)}”{unit} ({match.how})"


def _rejection_lines(file: FileReport) -> Iterator[str]:
    rejected = [remark for remark in file.remarks if remark.kind == "quarantine"]
    marked = [remark for remark in file.remarks if remark.kind == "recheck"]
    for title, remarks in (("Not kept:", rejected), ("Kept, to recheck:", marked)):
        if remarks:
            yield f"  {title}"
        for remark in remarks[:SHOWN_REJECTIONS]:
            yield f"    {_place(remark)}: {printable(remark.sentence)} [{remark.code}]"
        if len(remarks) > SHOWN_REJECTIONS:
            yield f"    … and {len(remarks) - SHOWN_REJECTIONS:,} more."


def _place(remark: Remark) -> str:
    sheet = f"sheet “{printable(remark.sheet)}”, " if remark.sheet else ""
    column = f", {remark.column}" if remark.column else ""
    return f"{sheet}line {remark.line}{column}"


def printable(text: str) -> str:
    """Return text that is fit to print: one line, no control characters, not endless."""
    plain = "".join(c if c.isprintable() else " " for c in text)
    return plain if len(plain) <= 10 * CELL_WIDTH else plain[: 10 * CELL_WIDTH] + "…"
