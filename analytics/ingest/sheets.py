"""Where a table begins: the header row among titles, a row of units under it, the first rows."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from analytics.ingest import names
from analytics.ingest.columnmap import header_key
from analytics.ingest.mapping import Header

SEARCH_ROWS = 80
"""Rows among which the header is looked for; chosen, a page of titles."""
SAMPLE_ROWS = 2000
"""Rows on which decimal comma, order of dates and units are decided first; chosen."""
EXAMPLE_MARK = "EXAMPLE - not read in"
DELIMITERS = (",", ";", "\t", "|")
_UNIT_WORD = re.compile(
    r"^[(\[]?\s*(°|º|˚|deg\.?)?\s*(f|c|a|amps?|min|minutes|k|%|awg|-|–|1|yyyy-mm-dd|fahrenheit|celsius"
    r"|ampere|0\D1|#)?\s*[)\]]?$",
    re.I,
)


@dataclass(frozen=True)
class Place:
    """Where a table lies: its header, the row after header and units (from 1), cells a row."""

    header: Header
    header_line: int
    first_line: int
    width: int
    is_often_short: bool = False


def is_example(rows: Sequence[Sequence[str]]) -> bool:
    """Tell the filled example of the field form by its mark in the first rows."""
    return any(cell.strip() == EXAMPLE_MARK for row in rows[:5] for cell in row)


def find(rows: Sequence[tuple[int, Sequence[str], int]], map_keys: frozenset[str]) -> Place | None:
    """Find the header among (line, cells, line after) and take the sample; None without one.

    A second header row is completed by the groups above it: a blank cell by a known word, a word
    that stands twice by its group's.
    """
    best, best_score = -1, 0
    heads = [_completed(rows, index, map_keys) for index in range(min(len(rows), SEARCH_ROWS))]
    for index, (cells, _) in enumerate(heads):
        score = header_score(cells, map_keys)
        if score > best_score:
            best, best_score = index, score
    if best < 0 or best_score < 3:
        return None
    line, _, after = rows[best]
    cells, groups = heads[best]
    following = list(rows[best + 1 :])
    units: tuple[str, ...] = ()
    while following and not any(c.strip() for c in following[0][1]):
        after = following.pop(0)[2]
    if following and _is_unit_row(following[0][1]):
        units = tuple(following[0][1])
        after = following.pop(0)[2]
    sample = [row for _, row, _ in following if any(c.strip() for c in row)][:SAMPLE_ROWS]
    width = _width(cells, sample)
    padded = tuple(" ".join(c.split()) for c in cells) + ("",) * (width - len(cells))
    short = sum(len(row) < width for row in sample)
    return Place(
        Header(padded[:width], units, sample, groups),
        line,
        after,
        width,
        short * 20 > len(sample) > 0,
    )


def _completed(
    rows: Sequence[tuple[int, Sequence[str], int]], index: int, map_keys: frozenset[str]
) -> tuple[list[str], tuple[str, ...]]:
    """Return a row's cells completed by the row of groups above it, and the group of each cell."""
    cells = list(rows[index][1])
    above = [" ".join(c.split()) for c in rows[index - 1][1]] if index else []
    told = [cell for cell in above if cell]
    if len(told) < 2 or any(len(cell) > 80 for cell in told) or not any(c.strip() for c in cells):
        return cells, ()
    above += [""] * (len(cells) - len(above))
    groups: list[str] = []
    for cell in above:
        groups.append(cell or (groups[-1] if groups else ""))
    keys = Counter(header_key(cell) for cell in cells)
    for place, cell in enumerate(cells):
        if not cell.strip() and header_score([above[place]], map_keys):
            cells[place] = above[place]
        elif cell.strip() and keys[header_key(cell)] > 1 and header_key(groups[place]) not in keys:
            cells[place] = f"{groups[place]} {cell}".strip()
    return cells, tuple(groups)


def header_score(cells: Sequence[str], map_keys: frozenset[str]) -> int:
    """Count the cells that are mapped, canonical or a synonym; each column counts once."""
    found: set[str] = set()
    for cell in cells:
        if not cell.strip() or len(cell) > 80:
            continue
        if header_key(cell) in map_keys:
            found.add(header_key(cell))
            continue
        exact, _ = names.exact(cell)
        if exact:
            found.add(exact)
        elif names.key(names.split_unit(cell)[0]) in names.synonyms():
            found.add(names.key(cell))
    return len(found)


def _is_unit_row(cells: Sequence[str]) -> bool:
    told = [cell.strip() for cell in cells if cell.strip()]
    return (
        len(told) > 0
        and all(_UNIT_WORD.match(cell) for cell in told)
        and any(re.search(r"[fca°%]", cell, re.I) for cell in told)
    )


def _width(cells: Sequence[str], sample: Sequence[Sequence[str]]) -> int:
    last = max((i for i, c in enumerate(cells) if c.strip()), default=-1) + 1
    widths = Counter(len(row) for row in sample)
    usual = widths.most_common(1)[0][0] if widths else last
    return max(last, usual, 1)


def records(text: str, delimiter: str) -> Iterator[tuple[int, list[str], int]]:
    """Yield (line, cells, line after) of the records in the head of a text file."""
    plain = text.replace("\r\n", "\n").replace("\r", "\n")
    reader = csv.reader(io.StringIO(plain), delimiter=delimiter)
    before = 0
    for row in reader:
        yield before + 1, row, reader.line_num + 1
        before = reader.line_num


def choose_delimiter(head: str, map_keys: frozenset[str]) -> str:
    """Return the delimiter under which the most header cells are known and the rows agree."""
    told = re.match(r"^\ufeff?sep=(.)\r?\n", head)
    if told:
        return told[1]
    best, best_rank = ",", (-1, -1.0)
    for delimiter in DELIMITERS:
        rows = []
        for row in records(head[:200_000], delimiter):
            rows.append(row[1])
            if len(rows) >= SEARCH_ROWS:
                break
        score = max((header_score(row, map_keys) for row in rows), default=0)
        widths = Counter(len(row) for row in rows if len(row) > 1)
        agreement = max(widths.values(), default=0) / max(len(rows), 1)
        if (score, agreement) > best_rank:
            best, best_rank = delimiter, (score, agreement)
    return best
