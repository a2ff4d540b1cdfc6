"""Rows of the store as a Parquet or CSV file, whole or not at all, with the cautions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from analytics import __version__, querybook
from analytics.drafts import put_in_place
from analytics.errors import NotEnoughDataError, UsageError
from analytics.notices import SHORT_CAUTION
from analytics.warehouse import Warehouse

SUBJECTS: dict[str, str] = {
    "screening": "verdict, evidence and expected rise of every reading",
    "readings": "the readings in force, in °C and A",
    "rechecks": "the marks on kept readings, with their reasons",
    "quarantine": "the rows that were not kept, with their reasons",
}
"""What can be exported; `screening` is the query `marts.export_screening`."""


@dataclass(frozen=True)
class Exported:
    """What was written where."""

    subject: str
    path: str
    row_count: int

    def lines(self) -> list[str]:
        """Return the result in plain words."""
        what = "one a reason" if self.subject in ("quarantine", "rechecks") else "one a reading"
        rows = "row" if self.row_count == 1 else "rows"
        return [f"{self.row_count:,} {rows} of {self.subject}, {what}, written to {self.path}."]


def export(warehouse: Warehouse, subject: str, out: Path) -> Exported:
    """Write a subject to `out` (.parquet or .csv) beside it first, then put it in place.

    Parquet carries the caution in the file's metadata under `caution`, CSV in a last column of
    that name; text that a spreadsheet would take for a formula gets a quote mark before it.
    Raises UsageError for another subject or kind of file, NotEnoughDataError before a screening.
    """
    kind = _checked(subject, out)
    if subject == "screening" and not warehouse.has_table("screening.result"):
        raise NotEnoughDataError("Nothing has been screened yet.", "Run loadrise screen first.")
    sql = querybook.load(f"marts.export_{subject}").sql
    with put_in_place(out) as draft:
        copied = warehouse.fetch(
            f"copy ({_with_caution(warehouse, sql) if kind == 'csv' else sql}\n) "
            f"to {_quoted(str(draft))} ({_options(kind)})"
        )
    return Exported(subject, str(out), int(copied[0][0]))


def write_rows(warehouse: Warehouse, columns: Mapping[str, Sequence[object]], out: Path) -> None:
    """Write equally long columns to `out` as CSV, with guard and caution as `export` does."""
    import pyarrow as pa

    warehouse.register("rows_to_write", pa.table(dict(columns)))
    try:
        sql = _with_caution(warehouse, "select * from rows_to_write")
        with put_in_place(out) as draft:
            warehouse.execute(f"copy ({sql}\n) to {_quoted(str(draft))} ({_options('csv')})")
    finally:
        warehouse.unregister("rows_to_write")


def _checked(subject: str, out: Path) -> str:
    if subject not in SUBJECTS:
        raise UsageError(f"“{subject}” cannot be exported.", f"Use one of {', '.join(SUBJECTS)}.")
    kind = out.suffix.lower().removeprefix(".")
    if kind not in ("parquet", "csv"):
        raise UsageError(f"{out} is neither .parquet nor .csv.", "End the name in one of them.")
    return kind


def _options(kind: str) -> str:
    if kind == "csv":
        return "format csv, header true"
    about = f"caution: {_quoted(SHORT_CAUTION)}, program: {_quoted(f'loadrise {__version__}')}"
    return f"format parquet, compression zstd, kv_metadata {{{about}}}"


def _with_caution(warehouse: Warehouse, sql: str) -> str:
    """Wrap a select for CSV: guarded text and the caution as a last column."""
    columns = warehouse.fetch(f"describe from (\n{sql}\n)")
    texts = [str(name) for name, kind, *_ in columns if kind == "VARCHAR"]
    guards = ", ".join(f"guarded_cell({name}) as {name}" for name in texts)
    kept = f"* replace ({guards})" if texts else "*"
    return f"select {kept}, {_quoted(SHORT_CAUTION)} as caution from (\n{sql}\n)"


def _quoted(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"
