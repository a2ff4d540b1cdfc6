"""A file's rows in pieces: text that DuckDB reads by itself, or rows read with care."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from mmap import ACCESS_READ, mmap
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    import numpy.typing as npt
    import pyarrow as pa

SMALL_BYTES = 2 * 2**20
"""A piece of text that is not split further before it is read with care; chosen."""
QUOTE_LINES = 60
"""Lines a quoted cell may span before its quotation mark counts as never closed; chosen."""
csv.field_size_limit(2**27)


LOOK_BYTES = 2**18
"""Bytes looked through at once; chosen, they stay in the processor's cache."""
LARGE_LINES = 50_000
"""Lines from which text goes into the store without a table in between; chosen."""


Row = tuple[int, list[str], str]
"""A row read with care: its line, its cells, and what is left over or wrong with it."""


@dataclass(frozen=True)
class TextSlice:
    """Records as UTF-8 text in a file of their own.

    `first_line` is the line of the first in the sheet, `width` the cells a record has.
    """

    path: Path
    size: int
    first_line: int
    line_count: int
    delimiter: str
    width: int
    is_often_short: bool = False

    @property
    def end_line(self) -> int:
        """The line after its last."""
        return self.first_line + self.line_count

    @property
    def is_plain(self) -> bool:
        """Whether DuckDB may well read it by itself; a small slice with a blank line, not."""
        if self.size > SMALL_BYTES:
            return True
        data = self.path.read_bytes()
        return not any(mark in data for mark in (b"\n\n", b"\n\r\n"))

    def rows(self) -> Iterator[Row]:
        """Yield its rows, read with care."""
        text = self.path.read_text("utf-8", "replace")
        return _records(text, self.delimiter, self.first_line)

    def pieces(self) -> Iterator[TextSlice | RowSlice]:
        """Yield smaller slices with the same rows, or the rows where it is small enough."""
        data = self.path.read_bytes()
        if len(data) <= 3 * SMALL_BYTES or _piece_end(data, 0) == len(data):
            yield careful(self)
            return
        line, start, path = self.first_line, 0, self.path.with_suffix(".part")
        while start < len(data):
            end = _piece_end(data, start)
            path.write_bytes(data[start:end])
            count = data.count(b"\n", start, end)
            yield replace(self, path=path, size=end - start, first_line=line, line_count=count)
            line, start = line + count, end

    def picked(self, lines: Sequence[int]) -> list[Row]:
        """Return the records at these lines, each a line by itself."""
        found: list[Row] = []
        with self.path.open("rb") as file, mmap(file.fileno(), 0, access=ACCESS_READ) as data:
            ends = _line_ends(data)
            for line in lines:
                at = line - self.first_line
                start = int(ends[at - 1]) + 1 if at else 0
                text = data[start : int(ends[at])].decode("utf-8", "replace")
                found.append((line, next(csv.reader([text], delimiter=self.delimiter), []), ""))
        return found


def _line_ends(data: mmap) -> npt.NDArray[np.int64]:
    """Return the places of the line ends, looked for in parts that fit the processor's cache."""
    found = []
    for start in range(0, len(data), LOOK_BYTES):
        part = np.frombuffer(data[start : start + LOOK_BYTES], dtype=np.uint8)
        found.append(np.flatnonzero(part == ord("\n")) + start)
    return np.concatenate(found)


def _piece_end(data: bytes, start: int) -> int:
    """Return the end of a piece: a line end with all quotation marks closed, or none."""
    place = start
    while True:
        end = data.find(b"\n", max(place, start + SMALL_BYTES - 1)) + 1
        if end == 0:
            return len(data)
        if data.count(b'"', start, end) % 2 == 0 or end > start + 2 * SMALL_BYTES:
            return end
        place = end


@dataclass(frozen=True)
class RowSlice:
    """Rows read with care, written anew: quoted cells, then line, surplus and is_short."""

    data: bytes
    width: int
    row_count: int
    first_line: int
    line_count: int


@dataclass(frozen=True)
class TableSlice:
    """Rows as an arrow table of text: c0, c1 … , line."""

    table: pa.Table
    first_line: int
    line_count: int


Slice = TextSlice | RowSlice | TableSlice


def careful(piece: TextSlice) -> RowSlice:
    """Read text with Python's csv reader: blank lines, ragged rows, quoted line ends."""
    return row_slice(list(piece.rows()), piece.width, is_often_short=piece.is_often_short)


def _records(text: str, delimiter: str, first_line: int) -> Iterator[Row]:
    """Yield (line, cells, surplus); a row whose quotation mark never closes is yielded alone."""
    lines = io.StringIO(text.replace("\r\n", "\n").replace("\r", "\n")).readlines()
    start = 0
    while start < len(lines):
        reader = csv.reader(lines[start:], delimiter=delimiter)
        before = 0
        broken = False
        for row in reader:
            if reader.line_num - before > QUOTE_LINES:
                cells = next(
                    csv.reader([lines[start + before].replace('"', "")], delimiter=delimiter)
                )
                yield first_line + start + before, cells, '"' + lines[start + before].strip()[:200]
                start, broken = start + before + 1, True
                break
            yield first_line + start + before, row, ""
            before = reader.line_num
        if not broken:
            return


def row_slice(rows: Sequence[Row], width: int, *, is_often_short: bool = False) -> RowSlice:
    """Write (line, cells, surplus) anew; rows without any text are left out."""
    text = io.StringIO()
    writer = csv.writer(text, quoting=csv.QUOTE_ALL, lineterminator="\n")
    count = 0
    for line, cells, surplus in rows:
        if not any(cell.strip() for cell in cells):
            continue
        short = max(width - len(cells), 0)
        told = surplus or _surplus(cells, width)
        is_short = "true" if short and not is_often_short else "false"
        writer.writerow([*cells[:width], *[""] * short, line, told, is_short])
        count += 1
    first = rows[0][0] if rows else 0
    last = rows[-1][0] if rows else 0
    return RowSlice(text.getvalue().encode(), width, count, first, last - first + 1)


def _surplus(cells: Sequence[str], width: int) -> str:
    extra = [cell for cell in cells[width:] if cell.strip()]
    return f"{len(extra)} cell(s)" if extra else ""
