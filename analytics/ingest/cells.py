"""Cells of workbooks and columns of Parquet files as clean text."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import numpy as np

from analytics.ingest.encoding import Cleaning, cleaned

if TYPE_CHECKING:
    import pyarrow as pa


def cell_text(cell: object, cleaning: Cleaning) -> str:
    """Return a workbook's cell as clean text: whole numbers without a fraction, dates as ISO."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() and abs(cell) < 1e15 else repr(cell)
    if isinstance(cell, dt.datetime):
        is_date = (cell.hour, cell.minute, cell.second, cell.microsecond) == (0, 0, 0, 0)
        return cell.date().isoformat() if is_date else cell.isoformat(sep=" ", timespec="seconds")
    if isinstance(cell, dt.date):
        return cell.isoformat()
    if isinstance(cell, dt.time):
        return cell.isoformat(timespec="minutes")
    if isinstance(cell, dt.timedelta):
        return f"{cell.total_seconds() / 60:g} min"
    return cleaned(str(cell), cleaning)


def column_text(column: pa.Array, cleaning: Cleaning) -> pa.Array:
    """Return a Parquet column as clean text; null where a cell can be no text.

    Raises UnicodeDecodeError where text is not UTF-8.
    """
    import pyarrow as pa
    import pyarrow.compute as pc

    if pa.types.is_dictionary(column.type):
        column = column.dictionary_decode()
    if pa.types.is_nested(column.type) or pa.types.is_binary(column.type):
        return pa.nulls(len(column), pa.string())
    if pa.types.is_floating(column.type):
        column = pc.if_else(pc.is_nan(column), pa.scalar(None, column.type), column)
    text = pc.cast(column, pa.string())
    if _is_plain(text):
        return text
    return pa.array(
        [None if one is None else cleaned(one, cleaning) for one in text.to_pylist()], pa.string()
    )


def _is_plain(text: pa.Array) -> bool:
    """Tell whether it holds ASCII without control characters and so needs no cleaning."""
    data = text.buffers()[2]
    codes = np.frombuffer(data or b"", dtype=np.uint8)
    return codes.size == 0 or (int(codes.min()) >= 32 and int(codes.max()) < 127)
