"""The slices of one sheet on their way in: at once where all is plain, else step by step."""

from __future__ import annotations

import tempfile
from collections import deque
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from analytics.errors import StoreError
from analytics.ingest import incoming, stages
from analytics.ingest.mapping import ColumnPlan
from analytics.ingest.readers import Sheet
from analytics.ingest.slices import (
    LARGE_LINES,
    Row,
    RowSlice,
    Slice,
    TextSlice,
    careful,
    row_slice,
)
from analytics.warehouse import Warehouse

TOGETHER = 2
"""Slices that go in together, each read by one processor; chosen for two processors."""
MUCH_TROUBLE = 0.2
"""Share of rows with trouble from which going in at once is no gain; chosen."""
MUCH_CARE = 0.03
"""Share of rows that need a careful reading from which the quick one is no gain; chosen."""
MOST_SETBACKS = 2
"""Slices whose rows had to be taken out again, after which a file goes step by step; chosen."""
MOST_PICKED = 20_000
"""Rows with trouble that are seen to together; chosen."""
_Item = TypeVar("_Item")


@dataclass
class Tally:
    """Rows of one file so far, and the identities that come next."""

    file_id: int = 0
    next_id: int = 0
    read: int = 0
    blank: int = 0
    repeated: int = 0
    quarantined: int = 0
    superseding: int = 0
    lost: list[str] = field(default_factory=list)

    def add(self, counts: stages.SliceCounts) -> None:
        """Add the rows of one slice."""
        self.read += counts.rows - counts.blank
        self.blank += counts.blank
        self.repeated += counts.repeated
        self.quarantined += counts.quarantined
        self.lost += counts.lost


@dataclass
class Feed:
    """Takes the slices of one sheet in, one after the other.

    `is_direct`: large plain slices go straight into the store, and only their rows with trouble
    take the way through a table of their own. Wrong for rows that the store may know already.
    While nearly all cells are plain, the quick half of the reading does.
    A row's identity is its line plus what the sheet began with.
    """

    warehouse: Warehouse
    sheet: Sheet
    plan: ColumnPlan
    how: incoming.Reading
    tally: Tally
    is_direct: bool
    _is_plain: bool = False
    _is_under_way: bool = False
    _setbacks: int = 0
    _waiting: list[TextSlice] = field(default_factory=list)
    _picked: list[Row] = field(default_factory=list)
    _folder: Path = Path()
    _last_line: int = 0

    def run(self, done: Callable[[int], None]) -> None:
        """Take all slices in; `done` is told the bytes behind."""
        self._is_plain = self.how.is_plain
        with tempfile.TemporaryDirectory(prefix="loadrise-") as folder:
            self._folder = Path(folder)
            for piece in ahead(self.sheet.slices(self._folder, done)):
                self._last_line = piece.first_line + piece.line_count
                self._sort(piece)
            self._take_waiting()
            self._take_picked()
        self.tally.next_id += self._last_line + 1

    def _sort(self, piece: Slice) -> None:
        is_large = piece.line_count >= LARGE_LINES or self._is_under_way
        if isinstance(piece, TextSlice) and self.is_direct and is_large:
            self._waiting.append(piece)
            if len(self._waiting) == TOGETHER:
                self._take_waiting()
            return
        self._take_waiting()
        self._take(piece)

    def _take_waiting(self) -> None:
        waiting, self._waiting = self._waiting, []
        if waiting and self.is_direct:
            self._take_at_once(waiting)
        else:
            for piece in waiting:
                self._take(piece)

    def _take(self, piece: Slice) -> None:
        """Let DuckDB read text by itself; where a row does not come out, read it with care."""
        way: Slice = piece
        if isinstance(piece, TextSlice) and not piece.is_plain:
            way = careful(piece)
        incoming.show(self.warehouse, way, self.plan, self._folder)
        count = stages.parse(self.warehouse, self.plan.kind, self.how)
        if isinstance(way, TextSlice) and count != way.line_count:
            for part in way.pieces():
                self._take(part)
        elif isinstance(way, RowSlice) and count != way.row_count:
            raise StoreError(f"{way.row_count} rows were handed over, {count} came out.")
        else:
            self.tally.add(stages.keep(self.warehouse, self.plan.kind, self._place(way)))
        if isinstance(piece, TextSlice):
            piece.path.unlink(missing_ok=True)

    def _place(self, piece: Slice) -> stages.Place:
        tally = self.tally
        return stages.Place(tally.file_id, self.sheet.name, tally.next_id, piece.first_line)

    def _take_at_once(self, pieces: list[TextSlice]) -> None:
        self._is_under_way = True
        incoming.show_together(self.warehouse, pieces, self.plan)
        place, count = self._place(pieces[0]), sum(piece.line_count for piece in pieces)
        kept = stages.keep_at_once(self.warehouse, self.how, place, is_plain=self._is_plain)
        if self._is_plain and count - kept > MUCH_CARE * count:
            self._is_plain = False
            for piece in pieces:
                self._take_out(piece)
            stages.keep_at_once(self.warehouse, self.how, place)
        for piece in pieces:
            self._see_to(piece)
            piece.path.unlink(missing_ok=True)

    def _see_to(self, piece: TextSlice) -> None:
        """See to the rows of a slice that were not kept at once."""
        kept, last = self.warehouse.row("staging.line_kept", **self._lines(piece))
        missing = piece.line_count - kept
        is_in_step = last == piece.end_line - 1 or self._is_line_by_line(piece) if missing else True
        if not is_in_step or missing > MUCH_TROUBLE * piece.line_count:
            self._setbacks += 1
            self.is_direct = self._setbacks < MOST_SETBACKS
            self._take_out(piece)
            self._take(piece)
            return
        self.tally.read += kept
        if missing:
            lines = self.warehouse.rows("staging.line_missing", **self._lines(piece))
            self._picked += piece.picked([line for (line,) in lines])
        if len(self._picked) >= MOST_PICKED:
            self._take_picked()

    def _lines(self, piece: TextSlice) -> dict[str, int]:
        first = piece.first_line
        return {"file_id": self.tally.file_id, "first_line": first, "end_line": piece.end_line}

    def _take_out(self, piece: TextSlice) -> None:
        """Take the rows of a slice out of the store again."""
        self.warehouse.execute(
            "delete from records.reading where file_id = $file_id and line >= $first_line "
            "and line < $end_line",
            self._lines(piece),
        )

    def _take_picked(self) -> None:
        picked, self._picked = self._picked, []
        if picked:
            place = self.sheet.place
            self._take(row_slice(picked, place.width, is_often_short=place.is_often_short))

    def _is_line_by_line(self, piece: TextSlice) -> bool:
        """Tell whether each line is a record; a row that was passed over shifts the lines."""
        return incoming.text_rows(self.warehouse, piece) == piece.line_count


def ahead(items: Iterator[_Item]) -> Iterator[_Item]:
    """Yield the items while the next ones are made in another thread."""
    end = object()
    with ThreadPoolExecutor(1) as pool:
        coming = deque(pool.submit(next, items, end) for _ in range(TOGETHER + 1))
        while (item := coming.popleft().result()) is not end:
            coming.append(pool.submit(next, items, end))
            yield item  # type: ignore[misc]
