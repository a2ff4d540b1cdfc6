"""A slice of a file as the relation `incoming_…`: canonical columns of text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from analytics.columns import FINDING_COLUMNS, READING_COLUMNS
from analytics.ingest import evidence, names, rules
from analytics.ingest.columnmap import ColumnMap
from analytics.ingest.mapping import ColumnPlan, Header
from analytics.ingest.readers import Sheet
from analytics.ingest.slices import RowSlice, Slice, TableSlice, TextSlice
from analytics.notices import Notice
from analytics.warehouse import Warehouse

_SPELLED = ("device_class", "panel_location", "conductor_material", "conductor_awg", "finding")
TABLE = "incoming_rows"
_NUMBERS = (
    *names.TEMPERATURES,
    "rated_a",
    "current_a",
    "panel_rated_a",
    "emissivity",
    "load_minutes",
)


_WORDS = tuple(
    names.incoming_name(c.name)
    for c in (*READING_COLUMNS, *FINDING_COLUMNS)
    if c.sql_type == "VARCHAR" and c.name not in _SPELLED
)
"""Columns kept as they stand; the others do not mind blanks around."""


def quoted(text: str) -> str:
    """Return an SQL literal."""
    return "'" + text.replace("'", "''") + "'"


@dataclass(frozen=True)
class Reading:
    """How the cells of one sheet are to be read: decimal comma, order of dates, units.

    `is_plain`: numbers and dates are bare in nearly all rows, so that the quick reading will do.
    """

    is_comma: bool
    date_order: str
    unit: Mapping[str, str | None]
    units: frozenset[str]
    words: Mapping[str, object]
    is_plain: bool
    notices: tuple[Notice, ...] = ()


def settle(plan: ColumnPlan, sheet: Sheet, column_map: ColumnMap | None) -> Reading:
    """Decide how cells are read, from the column map or else from what the sheet shows."""
    header = sheet.place.header
    told = column_map or ColumnMap()
    numbers = [c for name in _NUMBERS for c in _cells(plan, header, name)]
    is_comma = told.decimal == "," if told.decimal else evidence.has_decimal_comma(numbers)
    date_name = "inspected_at" if plan.kind == "reading" else "found_at"
    dates = _cells(plan, header, date_name)
    order, is_certain = evidence.date_order(dates)
    if not is_certain and not told.date_order:
        order, is_certain = evidence.date_order([*dates, *sheet.more_dates()])
    notices: tuple[Notice, ...] = ()
    if not is_certain and not told.date_order:
        order = "dmy" if is_comma else order  # nobody writes decimal commas and the month first
        words = "day first" if order == "dmy" else "month first"
        sentence = (
            f"Dates such as “{dates[0]}” do not tell day from month; they were read {words}. "
            "Set date_order in a column map where that is wrong."
        )
        notices = (Notice("date_order_unclear", sentence, {"date_order": order}),)
    unit = {name: unit or None for name, unit in plan.unit.items()}
    if constant := plan.constants.get("temp_unit"):
        unit = {name: u or constant for name, u in unit.items()}
    units = _units_used(unit, plan, header)
    spelled = rules.words(column_map)
    is_plain = not is_comma and evidence.are_plain([*numbers, *dates])
    return Reading(is_comma, told.date_order or order, unit, units, spelled, is_plain, notices)


def _cells(plan: ColumnPlan, header: Header, name: str) -> list[str]:
    return [c for index in plan.sources.get(name, ()) for c in header.values(index)]


def _units_used(unit: Mapping[str, str | None], plan: ColumnPlan, header: Header) -> frozenset[str]:
    """Return the units that occur: of headers and map, and of the cells of the first rows."""
    cells = [c for name in ("temp_unit", *names.TEMPERATURES) for c in _cells(plan, header, name)]
    letters = {cell.strip().rstrip(".").upper()[-1:] for cell in cells}
    words = {"F": "degF", "T": "degF", "C": "degC", "S": "degC"}
    return frozenset({words[c] for c in letters if c in words} | {u for u in unit.values() if u})


def ranges() -> dict[str, dict[str, float]]:
    """Return the plausible range of each incoming column, as parameters $low and $high."""
    bounds = {
        names.incoming_name(c.name): (c.low, c.high)
        for c in READING_COLUMNS
        if c.low is not None and c.high is not None
    }
    return {
        "low": {name: low for name, (low, _) in bounds.items()},
        "high": {name: high for name, (_, high) in bounds.items()},
    }


def put_columns(warehouse: Warehouse, plan: ColumnPlan, header: Header, reading: Reading) -> None:
    """Lay out what is known of each incoming column, for the reasons of rejected cells."""
    known = names.NAMES[plan.kind]
    heads = [" + ".join(header.cells[i] for i in plan.sources.get(n, ())) or None for n in known]
    required = names.REQUIRED[plan.kind]
    columns: dict[str, Sequence[object]] = {
        "ordinal": list(range(1, len(known) + 1)),
        "column_name": list(known),
        "is_required": [name in required for name in known],
        "is_temperature": [name in names.TEMPERATURES for name in known],
        "unit": [reading.unit.get(name) or "" for name in known],
        "header": [head or "" for head in heads],
    }
    lay(warehouse, "incoming_column", columns)


def lay(warehouse: Warehouse, table: str, columns: Mapping[str, Sequence[object]]) -> None:
    """Lay out a small temporary table from equally long columns."""
    cells = ", ".join(f"unnest(${name}) as {name}" for name in columns)
    lists = {name: list(values) for name, values in columns.items()}
    warehouse.fetch(f"create or replace temp table {table} as select {cells}", lists)


def show(warehouse: Warehouse, piece: Slice, plan: ColumnPlan, folder: Path) -> None:
    """Make the slice readable as `incoming_reading` or `incoming_finding`."""
    marks = "null::varchar as surplus, false as is_short"
    if isinstance(piece, TableSlice):
        warehouse.register(TABLE, piece.table)
        relation, marks = TABLE, f"line, {marks}"
    elif isinstance(piece, RowSlice):
        path = folder / "rows.txt"
        path.write_bytes(piece.data)
        more = ", 'line': 'BIGINT', 'surplus': 'VARCHAR', 'is_short': 'BOOLEAN'"
        relation, marks = _text(path, piece.width, ",", more), "line, surplus, is_short"
    else:
        relation = _text(piece.path, piece.width, piece.delimiter)
        marks = f"null::bigint as line, {marks}"
    _make_view(warehouse, plan, f"select {_cells_of(plan)}, {marks} from {relation}")


def show_together(warehouse: Warehouse, pieces: Sequence[TextSlice], plan: ColumnPlan) -> None:
    """Make several slices readable as one, with their lines; each is read by one processor."""
    marks = "null::varchar as surplus, false as is_short"
    parts = [
        f"select {_cells_of(plan)}, {piece.first_line} - 1 + row_number() over () as line, {marks} "
        f"from {_text(piece.path, piece.width, piece.delimiter)}"
        for piece in pieces
    ]
    _make_view(warehouse, plan, " union all ".join(parts))


def text_rows(warehouse: Warehouse, piece: TextSlice) -> int:
    """Count the records that DuckDB finds in a slice."""
    relation = _text(piece.path, piece.width, piece.delimiter)
    return int(warehouse.fetch(f"select count(*) from {relation}")[0][0])


def _make_view(warehouse: Warehouse, plan: ColumnPlan, select: str) -> None:
    warehouse.execute(f"create or replace temp view incoming_{plan.kind} as {select}")


def _cells_of(plan: ColumnPlan) -> str:
    return ", ".join(f"{_cell(plan, name)} as {name}_cell" for name in names.NAMES[plan.kind])


def _text(path: Path, width: int, delimiter: str, more: str = "") -> str:
    columns = ", ".join(f"'c{index}': 'VARCHAR'" for index in range(width))
    return (
        f"read_csv({quoted(str(path))}, columns = {{{columns}{more}}}, header = false, "
        f"auto_detect = false, delim = {quoted(delimiter)}, quote = '\"', escape = '\"', "
        "ignore_errors = true, max_line_size = 1000000, buffer_size = 8000000)"
    )


def _cell(plan: ColumnPlan, name: str) -> str:
    if name in plan.constants:
        return f"{quoted(plan.constants[name])}::varchar"
    sources = plan.sources.get(name, ())
    if not sources:
        return "null::varchar"
    if len(sources) == 1:
        cell = f"c{sources[0]}"
        return f"parse_text({cell})" if name in _WORDS else cell
    joined = ", ".join(f"c{index}" for index in sources)
    return f"parse_text(concat_ws(' ', {joined}))"
