"""A verified copy of the store: copied, opened anew, compared table by table, then put in place."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from analytics.drafts import put_in_place
from analytics.errors import StoreError, UsageError
from analytics.warehouse import Warehouse, check_store_name, open_store

Tables = dict[str, tuple[int, int]]
"""Table -> (rows, sum of the rows' hashes)."""
MAGIC = (8, b"DUCK")
"""Where and how a DuckDB file says what it is (DuckDB documentation, storage)."""


@dataclass(frozen=True)
class BackupResult:
    """What was copied where, after it was compared."""

    path: str
    table_count: int
    row_count: int
    size_bytes: int

    def lines(self) -> list[str]:
        """Return the result in plain words."""
        return [
            f"Copy written to {self.path}: {self.table_count} tables, {self.row_count:,} rows, "
            f"{self.size_bytes / 1e6:,.1f} MB. Opened again and compared row by row: the same."
        ]


def back_up(warehouse: Warehouse, out: Path) -> BackupResult:
    """Copy the open store to `out`; an older copy there is replaced once the new one is verified.

    Raises UsageError where `out` cannot be a store's name or is the store itself, StoreError where
    the copy differs; nothing is then put in place.
    """
    _check_target(Path(warehouse.path), out)
    with put_in_place(out) as draft:
        _copy(warehouse, draft)
        tables = _tables(warehouse)
        with open_store(draft, read_only=True) as copy:
            _compare(tables, _tables(copy))
        size = draft.stat().st_size
    rows = sum(count for count, _ in tables.values())
    return BackupResult(str(out), len(tables), rows, size)


def _check_target(store: Path, out: Path) -> None:
    check_store_name(str(out))
    if not out.exists():
        return
    if out.samefile(store):
        raise UsageError(f"{out} is the store itself.", "Give the copy a name of its own.")
    start, word = MAGIC
    with out.open("rb") as file:
        if file.read(start + len(word))[start:] != word:
            raise UsageError(f"{out} is there and is no store.", "Choose another name.")


def _copy(warehouse: Warehouse, draft: Path) -> None:
    name = str(draft).replace("'", "''")
    source = str(warehouse.fetch("select current_catalog()")[0][0]).replace('"', '""')
    warehouse.execute(f"attach '{name}' as backup_copy (read_write)")
    try:
        warehouse.execute(f'copy from database "{source}" to backup_copy')
    finally:
        warehouse.execute("detach backup_copy")


def _tables(warehouse: Warehouse) -> Tables:
    """Return each table of the store with its rows counted and hashed."""
    names = warehouse.fetch(
        "select schema_name || '.' || table_name from duckdb_tables() "
        "where database_name = current_catalog() and not internal order by all"
    )
    return {str(name): _digest(warehouse, str(name)) for (name,) in names}


def _digest(warehouse: Warehouse, table: str) -> tuple[int, int]:
    sql = f"select count(*), coalesce(sum(hash(t)), 0)::varchar from {table} as t"
    count, total = warehouse.fetch(sql)[0]
    return int(count), int(total)


def _compare(expected: Tables, found: Tables) -> None:
    different = sorted(t for t in expected | found if expected.get(t) != found.get(t))
    if different:
        raise StoreError(
            f"The copy differs from the store in {', '.join(different)}; it was thrown away.",
            "Check the disk, then try again.",
        )
