"""A file's rows in pieces: text that DuckDB reads by itself, or a table of cells read with care."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pyarrow as pa

SMALL_BYTES = 2 * 2**20
"""A piece of text that is not split further before it is read with care; chosen."""
QUOTE_LINES = 60
"""Lines a quoted cell may span before its quotation mark counts as never closed; chosen."""
csv.field_size_limit(2**27)


@dataclass(frozen=True)
class TextSlice:
    """Records as UTF-8 text; `first_line` is the line of the first, `width` the cells a record."""

    data: bytes
    first_line: int
    delimiter: str
    width: int
    is_often_short: bool = False

    @property
    def line_count(self) -> int:
        """Lines of the text."""
        return self.data.count(b"\n")

    def pieces(self) -> Iterator[TextSlice | TableSlice]:
        """Yield smaller slices with the same rows, or the one table where it is small enough."""
        if len(self.data) <= SMALL_BYTES:
            yield careful(self)
            return
        line, start = self.first_line, 0
        while start < len(self.data):
            end = self._piece_end(start)
            data = self.data[start:end]
            yield TextSlice(data, line, self.delimiter, self.width, self.is_often_short)
            line, start = line + data.count(b"\n"), end

    def _piece_end(self, start: int) -> int:
        """Return the end of a piece: a line end with all quotation marks closed, or none."""
        place = start
        while True:
            end = self.data.find(b"\n", max(place, start + SMALL_BYTES - 1)) + 1
            if end == 0:
                return len(self.data)
            if self.data.count(b'"', start, end) % 2 == 0 or end > start + 2 * SMALL_BYTES:
                return end
            place = end


@dataclass(frozen=True)
class TableSlice:
    """Rows as an arrow table of text: c0, c1 … , line, surplus, is_short."""

    table: pa.Table


Slice = TextSlice | TableSlice


def careful(piece: TextSlice) -> TableSlice:
    """Read text with Python's csv reader: blank lines, ragged rows, quoted line ends."""
    rows = list(_records(piece.data.decode("utf-8", "replace"), piece.delimiter, piece.first_line))
    return table_slice(rows, piece.width, is_often_short=piece.is_often_short)


def _records(text: str, delimiter: str, first_line: int) -> Iterator[tuple[int, list[str], str]]:
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


def table_slice(
    rows: Sequence[tuple[int, list[str], str]], width: int, *, is_often_short: bool = False
) -> TableSlice:
    """Make a table of (line, cells, surplus); rows without any text are left out."""
    import pyarrow as pa

    full = [row for row in rows if any(cell.strip() for cell in row[1])]
    columns: dict[str, pa.Array] = {}
    for index in range(width):
        cells = [c[index] if index < len(c) and c[index] != "" else None for _, c, _ in full]
        columns[f"c{index}"] = pa.array(cells, pa.string())
    columns["line"] = pa.array([line for line, _, _ in full], pa.int64())
    columns["surplus"] = pa.array([s or _surplus(c, width) for _, c, s in full], pa.string())
    short = [len(c) < width and not is_often_short for _, c, _ in full]
    columns["is_short"] = pa.array(short, pa.bool_())
    return TableSlice(pa.table(columns))


def _surplus(cells: Sequence[str], width: int) -> str | None:
    extra = [cell for cell in cells[width:] if cell.strip()]
    return f"{len(extra)} cell(s)" if extra else None
