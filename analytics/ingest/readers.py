"""Files as sheets of text rows, whatever their kind; the kind is told by content, not by name."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from analytics.errors import InputError, UsageError
from analytics.ingest import encoding, evidence, gaps, sheets
from analytics.ingest.cells import cell_text, column_text
from analytics.ingest.columnmap import ColumnMap
from analytics.ingest.encoding import Block, Cleaning
from analytics.ingest.slices import Slice, TableSlice, TextSlice, row_slice
from analytics.notices import Notice

SUFFIXES = (".csv", ".tsv", ".txt", ".xlsx", ".xlsm", ".xls", ".parquet", ".pq")
Slices = Callable[[Path, Callable[[int], None]], Iterator[Slice]]
"""Yields a sheet's rows in pieces; takes a folder to work in and what is told the bytes behind."""
TABLE_ROWS = 250_000
"""Rows a slice of a workbook or Parquet file; chosen, like a block of text."""


@dataclass
class Sheet:
    """One table of a file: where it lies, and its rows when asked for."""

    name: str | None
    place: sheets.Place
    slices: Slices
    more_dates: Callable[[], list[str]] = list
    """Dates from all over the sheet, asked for where the first rows do not tell their order."""


@dataclass
class Source:
    """One file: its sheets with a header, and remarks. `cleaning.digest` is known once read."""

    path: Path
    sheets: list[Sheet]
    cleaning: Cleaning
    notices: list[Notice] = field(default_factory=list)


def expand(paths: Sequence[Path]) -> tuple[list[Path], list[Notice]]:
    """Return the files meant by paths and folders, sorted, and what in the folders is no table.

    Raises UsageError where a path does not exist.
    """
    found: dict[Path, None] = {}
    left: list[str] = []
    for path in paths:
        if not path.exists():
            raise UsageError(f"There is no file or folder {path.name}.")
        if not path.is_dir():
            found[path] = None
            continue
        for inside in sorted(p for p in path.rglob("*") if p.is_file()):
            hidden = any(part.startswith((".", "~$")) for part in inside.relative_to(path).parts)
            if inside.suffix.lower() in SUFFIXES and not hidden:
                found[inside] = None
            elif not hidden and inside.suffix.lower() != ".toml":
                left.append(inside.name)
    if not left:
        return list(found), []
    sentence = f"No tables by their names, left alone: {', '.join(left)}."
    return list(found), [Notice("not_a_table", sentence, {"names": left})]


def open_source(path: Path, column_map: ColumnMap | None = None) -> Source:
    """Find out what a file is and where its tables begin.

    Raises InputError where it is empty, damaged, or has no header with known columns.
    """
    try:
        with path.open("rb") as file:
            head = file.read(encoding.HEAD_BYTES)
    except OSError as error:
        raise InputError(f"{path.name} cannot be read: {error.strerror}.") from error
    if not head.strip(b"\0 \r\n\t\xef\xbb\xbf\xff\xfe"):
        raise InputError(f"{path.name} is empty: there is not a row in it.")
    if head.startswith(b"PAR1"):
        source = _parquet(path, column_map)
    elif head.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        source = _workbook(path, column_map)
    else:
        source = _text(path, head, column_map)
    _note_suffix(source, head)
    return source


def _note_suffix(source: Source, head: bytes) -> None:
    kind = "a Parquet file" if head.startswith(b"PAR1") else ""
    kind = "a workbook" if head.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")) else kind
    kind = kind or "text"
    usual = {
        "a Parquet file": (".parquet", ".pq"),
        "a workbook": (".xlsx", ".xlsm", ".xls"),
        "text": (".csv", ".tsv", ".txt"),
    }[kind]
    if source.path.suffix.lower() in SUFFIXES and source.path.suffix.lower() not in usual:
        sentence = f"Its name ends in {source.path.suffix}, but it is {kind} and was read as that."
        source.notices.append(Notice("wrong_extension", sentence))


def _no_header(path: Path, rows: Sequence[Sequence[str]]) -> InputError:
    first = next((row for row in rows if any(c.strip() for c in row)), [])
    shown = " | ".join(cell.strip() for cell in first if cell.strip())[:200]
    return InputError(
        f"{path.name} has no header row with known columns; its first row reads “{shown}”.",
        "Name the headers in a column map and give it with --map.",
    )


def _text(path: Path, head: bytes, column_map: ColumnMap | None) -> Source:
    map_keys = _keys(column_map)
    name = encoding.detect(head)
    text = _decoded_head(head, name)
    delimiter = sheets.choose_delimiter(text, map_keys)
    rows = []
    for row in sheets.records(text, delimiter):
        rows.append(row)
        if len(rows) > sheets.SAMPLE_ROWS + sheets.SEARCH_ROWS:
            break
    if len(head) == encoding.HEAD_BYTES and len(rows) > 1 and rows[-1][2] > text.count("\n"):
        rows.pop()
    place = sheets.find(rows, map_keys)
    if place is None:
        raise _no_header(path, [row for _, row, _ in rows])
    cleaning = Cleaning(encoding=name)
    laid, missing = gaps.find(rows, place, column_map)

    def slices(folder: Path, done: Callable[[int], None]) -> Iterator[Slice]:
        line, filler = 1, gaps.Filler(missing, cleaning)
        for number, block in enumerate(encoding.blocks(path, name, cleaning)):
            skip = max(place.first_line - line, 0)
            if skip < block.line_count and not block.is_blank:
                piece = _text_slice(
                    folder / f"{number}.csv", block, skip, line + skip, delimiter, place
                )
                yield filler.refilled(piece, laid) if missing else piece
            line += block.line_count
            done(cleaning.size)

    def more_dates() -> list[str]:
        return encoding.spread_dates(path, name)

    return Source(path, [Sheet(None, laid, slices, more_dates)], cleaning)


def _keys(column_map: ColumnMap | None) -> frozenset[str]:
    return column_map.header_keys if column_map else frozenset()


def _text_slice(
    path: Path, block: Block, skip: int, line: int, delimiter: str, place: sheets.Place
) -> TextSlice:
    """Write a block without its first `skip` lines to a file of its own."""
    text = block.without(skip)
    path.write_bytes(text)
    count = block.line_count - skip
    return TextSlice(path, len(text), line, count, delimiter, place.width, place.is_often_short)


def _decoded_head(head: bytes, name: str) -> str:
    text = head.decode(name, "replace") if name != "utf-8" else head.decode("utf-8-sig", "replace")
    return text.replace("\0", "").removeprefix("\ufeff")


def _workbook(path: Path, column_map: ColumnMap | None) -> Source:
    import python_calamine

    try:
        book = python_calamine.CalamineWorkbook.from_path(str(path))
        names = book.sheet_names
    except Exception as error:  # calamine raises many kinds for damaged files
        raise InputError(f"{path.name} cannot be read as a workbook: {error}.") from error
    source = Source(path, [], Cleaning(encoding=""))
    first: list[Sequence[str]] = []
    for name in names:
        rows = _sheet_rows(book, name, source)
        first += [cells for _, cells, _ in rows[:3]]
        if sheets.is_example([cells for _, cells, _ in rows[:5]]):
            sentence = f"The sheet “{name}” is the form's filled example and was left out."
            source.notices.append(Notice("example_sheet", sentence))
        elif place := sheets.find(rows, _keys(column_map)):
            place, missing = gaps.find(rows, place, column_map)
            body = [(line, cells, "") for line, cells, _ in rows if line >= place.first_line]
            dates = [cell for _, cells, _ in body for cell in cells if evidence.is_date(cell)]
            if missing:
                body = list(gaps.Filler(missing, source.cleaning).rows(body))
            source.sheets.append(Sheet(name, place, _table_slices(body, place), dates.copy))
        elif any(any(c.strip() for c in cells) for _, cells, _ in rows):
            sentence = f"The sheet “{name}” has no header with known columns and was left out."
            source.notices.append(Notice("sheet_left_out", sentence))
    if not source.sheets:
        if any(n.code == "example_sheet" for n in source.notices) or not any(first):
            raise InputError(f"{path.name} is empty: there is not a row in it.")
        raise _no_header(path, first)
    return source


def _sheet_rows(book: Any, name: str, source: Source) -> list[tuple[int, list[str], int]]:
    try:
        sheet = book.get_sheet_by_name(name)
        rows = sheet.to_python(skip_empty_area=False)
    except Exception as error:
        raise InputError(f"{source.path.name}, sheet “{name}”, cannot be read: {error}.") from error
    text = [[cell_text(cell, source.cleaning) for cell in row] for row in rows]
    for (top, left), (bottom, right) in getattr(sheet, "merged_cell_ranges", None) or ():
        if left == right and bottom > top and top < len(text) and left < len(text[top]):
            for row in text[top + 1 : bottom + 1]:
                row[left] = row[left] or text[top][left]
    return [(n, cells, n + 1) for n, cells in enumerate(text, start=1)]


def _table_slices(rows: Sequence[tuple[int, list[str], str]], place: sheets.Place) -> Slices:
    def slices(folder: Path, done: Callable[[int], None]) -> Iterator[Slice]:
        for start in range(0, len(rows), TABLE_ROWS):
            part = rows[start : start + TABLE_ROWS]
            yield row_slice(part, place.width, is_often_short=True)

    return slices


def _parquet(path: Path, column_map: ColumnMap | None) -> Source:
    import pyarrow as pa
    import pyarrow.parquet as pq

    try:
        file = pq.ParquetFile(path)
        head = next(file.iter_batches(batch_size=sheets.SAMPLE_ROWS), None)
        first = head.columns if head is not None else []
        texts = [column_text(column, Cleaning()).to_pylist() for column in first]
    except (pa.ArrowException, OSError, ValueError) as error:
        raise InputError(f"{path.name} cannot be read as Parquet: {error}.") from error
    columns, cleaning = list(file.schema_arrow.names), Cleaning(encoding="")
    rows: list[tuple[int, list[str], int]] = [(1, columns, 2)]
    if head is not None:
        cells = zip(*texts, strict=True)
        rows += [(n, [c or "" for c in row], n + 1) for n, row in enumerate(cells, start=2)]
    place = sheets.find(rows, _keys(column_map))
    if place is None or place.header_line != 1:
        raise _no_header(path, [columns])

    def slices(folder: Path, done: Callable[[int], None]) -> Iterator[Slice]:
        line = 1
        for batch in file.iter_batches(batch_size=TABLE_ROWS):
            count = batch.num_rows
            table = {f"c{i}": column_text(one, cleaning) for i, one in enumerate(batch.columns)}
            table["line"] = pa.array(range(line, line + count), pa.int64())
            line += count
            yield TableSlice(pa.table(table), line - count, count)

    return Source(path, [Sheet(None, place, slices)], cleaning)
