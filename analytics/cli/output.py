"""How commands print: the same rows as a table, CSV or JSON; results as JSON."""

from __future__ import annotations

import csv
import io
import json
import math
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import asdict
from datetime import date, datetime, time
from decimal import Decimal
from typing import TYPE_CHECKING, Any

import click

from analytics.notices import SHORT_CAUTION, Notice
from analytics.plain import escaped, printable

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

FORMATS = ("table", "csv", "json")
TEXT_WIDTH = 100
"""Width at which sentences are broken, in characters; chosen to fit a terminal."""
CELL_WIDTH = 500
"""Letters of a cell that a table shows; chosen: more than the longest reason of a verdict."""
STARTS_FORMULA = tuple("=+-@\t\r\n＝＋－＠")
"""What a spreadsheet may take for the start of a formula (OWASP, CSV Injection)."""


def say(text: str, *, is_trouble: bool = False) -> None:
    """Print text of a few lines, fit for a terminal whatever a file or name brought in."""
    click.echo("\n".join(map(printable, text.split("\n"))), err=is_trouble)


def print_lines(lines: Iterable[str]) -> None:
    """Print plain lines and the caution that goes with every result."""
    for line in lines:
        say(line)
    say("")
    say(textwrap.fill(SHORT_CAUTION, TEXT_WIDTH))


def told(notice: Notice | None) -> list[str]:
    """Return a notice as lines to stand before a result; none where there is none."""
    return [*textwrap.wrap(notice.sentence, TEXT_WIDTH), ""] if notice else []


def print_result(result: DataclassInstance, **more: Notice | None) -> None:
    """Print a result record as one JSON object, with what is noticed besides and the caution."""
    noticed = {name: one and asdict(one) for name, one in more.items()}
    say(as_json({**asdict(result), **noticed, "caution": SHORT_CAUTION}))


def print_rows(names: Sequence[str], rows: Sequence[Sequence[Any]], form: str) -> None:
    """Print rows under their names in one of `FORMATS`."""
    if form == "json":
        say(as_json([dict(zip(names, row, strict=True)) for row in rows]))
    elif form == "csv":
        say(_as_csv(names, rows).removesuffix("\n"))
    else:
        say(_as_table(names, rows))


def as_json(value: object) -> str:
    """Return JSON; a number that is none is null, a time is ISO 8601, an odd sign escaped."""
    return escaped(json.dumps(_plain(value), ensure_ascii=False, indent=1))


def _plain(value: Any) -> Any:
    """Return what JSON can hold: nan and infinity become null, other kinds their text."""
    if isinstance(value, dict):
        return {str(key): _plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    if isinstance(value, float | Decimal):
        return float(value) if math.isfinite(value) else None
    if value is None or isinstance(value, bool | int | str):
        return value
    return _text(value)


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, float):
        return f"{value:.6g}"
    return str(value)


def _as_csv(names: Sequence[str], rows: Sequence[Sequence[Any]]) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(map(guarded, names))
    writer.writerows(map(_csv_cell, row) for row in rows)
    return text.getvalue()


def _csv_cell(value: object) -> object:
    if isinstance(value, str):
        return guarded(value)
    return value if isinstance(value, float) else _text(value)


def guarded(cell: str) -> str:
    """Return text for a CSV cell as the macro `guarded_cell` does: no spreadsheet computes it."""
    return f"'{cell}" if cell.startswith(STARTS_FORMULA) else cell


def _as_table(names: Sequence[str], rows: Sequence[Sequence[Any]]) -> str:
    cells = [[_short(one) for one in line] for line in (names, *rows)]
    widths = [max(len(line[i]) for line in cells) for i in range(len(names))]
    is_number = [_is_numeric(rows, i) for i in range(len(names))]
    lines = [_line(line, widths, is_number) for line in cells]
    lines.insert(1, "  ".join("-" * width for width in widths))
    lines.append(f"({len(rows):,} row{'' if len(rows) == 1 else 's'})")
    return "\n".join(lines)


def _short(value: object) -> str:
    """Return text for a cell of a table; a long one is cut, CSV and JSON have it whole."""
    text = printable(_text(value))
    return text if len(text) <= CELL_WIDTH else f"{text[: CELL_WIDTH - 1]}…"


def _is_numeric(rows: Sequence[Sequence[Any]], i: int) -> bool:
    found = [row[i] for row in rows if row[i] is not None]
    return bool(found) and all(
        isinstance(one, int | float | Decimal) and not isinstance(one, bool) for one in found
    )


def _line(cells: list[str], widths: list[int], is_number: list[bool]) -> str:
    parts = zip(cells, widths, is_number, strict=True)
    return "  ".join(c.rjust(w) if n else c.ljust(w) for c, w, n in parts).rstrip()
