"""What an ingest did, in sentences."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from analytics import plain
from analytics.ingest.report import FileReport, IngestReport, Remark

SHOWN_REJECTIONS = 1000
"""Rejected rows printed for one file of a dry run; chosen, the store keeps them all."""
CELL_WIDTH = 80
ONCE = ("inspection_id", "inspected_at", "panel_id", "ambient_temp")
"""Columns that a sheet may write once for all rows of a panel."""
MANY_GAPS = 3
"""Rows without such a value before filling down is suggested; chosen."""


def lines(report: IngestReport) -> Iterator[str]:
    """Yield the report line by line: each file, then the sums."""
    for notice in report.notices:
        yield printable(notice.sentence)
    for file in report.files:
        yield from _file_lines(file, is_dry_run=report.is_dry_run)
        yield ""
    if len(report.files) > 1:
        yield f"All {len(report.files)} files: {_counts(report)}."
    if report.is_dry_run:
        yield "This was a dry run: nothing was stored."


def _counts(counted: FileReport | IngestReport) -> str:
    rows = "row" if counted.read == 1 else "rows"
    return (
        f"{counted.read:,} {rows} read = {counted.kept:,} kept + {counted.repeated:,} repeated + "
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
    else:
        yield from _pointers(file)
    if gaps := _gaps(file):
        listed = ", ".join(f'"{column}"' for column in gaps)
        yield f"  Where an empty cell means the one above it, write fill_down = [{listed}]"
        yield "  at the top of the column map."


def _pointers(file: FileReport) -> Iterator[str]:
    """Yield where the reasons are to be found."""
    if file.quarantined:
        yield "  Each row not kept, with its reason: loadrise export quarantine --out rejected.csv"
    if file.marked:
        yield "  Each row to recheck: loadrise export rechecks --out rechecks.csv"


def _gaps(file: FileReport) -> list[str]:
    """Return the columns that look as if they were written once for several rows."""
    empty = Counter(r.column for r in file.remarks if r.code == "missing_value")
    return [name for name in ONCE if empty[name] >= MANY_GAPS]


def _mapping_lines(file: FileReport) -> Iterator[str]:
    yield "  Columns:"
    for match in dict.fromkeys(file.matches):
        unit = f" [{match.unit}]" if match.unit else ""
        yield f"    {match.column} from “{printable(match.header)}”{unit} ({match.how})"


def _rejection_lines(file: FileReport) -> Iterator[str]:
    rejected = [remark for remark in file.remarks if remark.kind == "quarantine"]
    marked = [remark for remark in file.remarks if remark.kind == "recheck"]
    for title, remarks in (("Not kept:", rejected), ("Kept, to recheck:", marked)):
        if remarks:
            yield f"  {title}"
        for alike in _alike(remarks[:SHOWN_REJECTIONS]):
            yield f"    {_place(alike)}: {printable(alike[0].sentence)} [{alike[0].code}]"
        if len(remarks) > SHOWN_REJECTIONS:
            yield f"    … and {len(remarks) - SHOWN_REJECTIONS:,} more."


def _alike(remarks: Sequence[Remark]) -> Iterable[list[Remark]]:
    """Gather the remarks that say the same of the same column and sheet, in order."""
    found: dict[tuple[str, str, str], list[Remark]] = {}
    for remark in remarks:
        found.setdefault((remark.sheet, remark.column, remark.sentence), []).append(remark)
    return found.values()


def _place(alike: Sequence[Remark]) -> str:
    first = alike[0]
    sheet = f"sheet “{printable(first.sheet)}”, " if first.sheet else ""
    column = f", {first.column}" if first.column else ""
    numbers = [str(remark.line) for remark in alike]
    if len(numbers) == 1:
        return f"{sheet}line {numbers[0]}{column}"
    return f"{sheet}lines {', '.join(numbers[:-1])} and {numbers[-1]}{column}"


def printable(text: str) -> str:
    """Return text that is fit to print: one line, no control characters, not endless."""
    shown = plain.printable(text)
    return shown if len(shown) <= 10 * CELL_WIDTH else shown[: 10 * CELL_WIDTH] + "…"
