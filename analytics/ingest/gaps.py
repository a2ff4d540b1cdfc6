"""Cells that stand for those below them: a panel's name on a line of its own, or written once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from analytics.ingest import names
from analytics.ingest.columnmap import ColumnMap, header_key, own_header
from analytics.ingest.encoding import Cleaning
from analytics.ingest.sheets import Place
from analytics.ingest.slices import Row, RowSlice, TextSlice, row_slice

_SIGNS = " \t:.-–—"
"""What may stand between the opening words of a line and the name itself."""


@dataclass(frozen=True)
class Gaps:
    """What fills the gaps of one sheet.

    `openings` are the words that open a line of its own; their values are put before the row's
    cells, the first ones being `above`, from over the header. `down` are the cells, counted with
    those, that take the value above them where they are empty.
    """

    openings: tuple[str, ...] = ()
    above: tuple[str, ...] = ()
    down: tuple[int, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.openings or self.down)


@dataclass
class Filler:
    """Fills the gaps of rows that come in order; counts in `cleaning` what it did."""

    gaps: Gaps
    cleaning: Cleaning
    held: list[str] = field(init=False)
    last: dict[int, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.held = list(self.gaps.above)

    def rows(self, rows: Iterable[Row]) -> Iterator[Row]:
        """Yield the rows filled; of a line of its own nothing is left in its place."""
        for line, cells, surplus in rows:
            if told := _own_line(cells, self.gaps.openings):
                self.held[told[0]] = told[1]
                self.cleaning.own_lines += 1
            if told or not any(cell.strip() for cell in cells):
                yield line, [], surplus
            else:
                yield line, self._filled([*self.held, *cells]), surplus

    def refilled(self, piece: TextSlice, place: Place) -> RowSlice:
        """Return a slice of text with its rows filled."""
        rows = list(self.rows(piece.rows()))
        piece.path.unlink()
        return row_slice(rows, place.width, is_often_short=place.is_often_short)

    def _filled(self, cells: list[str]) -> list[str]:
        for index in self.gaps.down:
            if index >= len(cells) or not cells[index].strip():
                cells += [""] * (index + 1 - len(cells))
                cells[index] = self.last.get(index, "")
                self.cleaning.filled_cells += bool(cells[index])
            self.last[index] = cells[index]
        return cells


def _own_line(cells: Sequence[str], openings: Sequence[str]) -> tuple[int, str] | None:
    """Return (which opening, what follows it) of a line of its own, else None."""
    filled = [cell.strip() for cell in cells if cell.strip()]
    if len(filled) != 1:
        return None
    for number, opening in enumerate(openings):
        if filled[0].casefold().startswith(opening.casefold()):
            return number, filled[0][len(opening) :].strip(_SIGNS)
    return None


def find(
    rows: Sequence[tuple[int, Sequence[str], int]], place: Place, column_map: ColumnMap | None
) -> tuple[Place, Gaps]:
    """Find what the column map says of gaps in this sheet; return the place with the new cells.

    A sheet without a line that opens as the map says keeps its cells as they are.
    """
    if column_map is None or not (column_map.own_lines or column_map.fill_down):
        return place, Gaps()
    own = {
        column: opening
        for column, opening in column_map.own_lines.items()
        if any(_own_line(cells, (opening,)) for _, cells, _ in rows)
    }
    openings = tuple(own.values())
    above = [""] * len(own)
    for line, cells, _ in rows:
        if line < place.first_line and (told := _own_line(cells, openings)):
            above[told[0]] = told[1]
    heads = (*(own_header(opening) for opening in openings), *place.header.cells)
    gaps = Gaps(openings, tuple(above), _down(heads, column_map))
    return (_placed(place, heads, gaps), gaps) if gaps else (place, gaps)


def _down(heads: Sequence[str], column_map: ColumnMap) -> tuple[int, ...]:
    found: list[int] = []
    for column in column_map.fill_down:
        keys = {header_key(h) for h in column_map.headers_of(column)}
        found += [
            index
            for index, head in enumerate(heads)
            if header_key(head) in keys or (not keys and names.exact(head)[0] == column)
        ]
    return tuple(dict.fromkeys(found))


def _placed(place: Place, heads: tuple[str, ...], gaps: Gaps) -> Place:
    """Return the place with the new cells before its own, and a sample that is filled."""
    more = len(gaps.openings)
    before = ("",) * more
    filler = Filler(gaps, Cleaning(encoding=""))
    rows = filler.rows((0, [*row], "") for row in place.header.sample)
    sample = [cells for _, cells, _ in rows if cells]
    header = replace(
        place.header,
        cells=heads,
        units=(*before, *place.header.units) if place.header.units else (),
        groups=(*before, *place.header.groups) if place.header.groups else (),
        sample=sample,
    )
    return replace(place, header=header, width=place.width + more)
