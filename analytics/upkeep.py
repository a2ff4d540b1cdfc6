"""What a store needs when it is opened and before a commit: its schema, its rows counted."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import AbstractContextManager
from typing import Any, Protocol

from analytics import querybook
from analytics.errors import StoreError


class Store(Protocol):
    """What the upkeep needs of a warehouse."""

    path: str

    def execute(self, sql: str, parameters: Mapping[str, object] | None = None) -> None: ...  # noqa: D102
    def fetch(self, sql: str) -> list[tuple[Any, ...]]: ...  # noqa: D102
    def rows(self, name: str) -> list[tuple[Any, ...]]: ...  # noqa: D102
    def has_table(self, table: str) -> bool: ...  # noqa: D102
    def transaction(self) -> AbstractContextManager[None]: ...  # noqa: D102


def bring_forward(store: Store, *, read_only: bool) -> None:
    """Apply the migrations that the file lacks, in one transaction; never backwards.

    Raises StoreError where the file is newer than this program, holds another program's tables, or
    would have to change although it was opened to be read.
    """
    steps = list(querybook.statements("migrations"))
    newest, have = len(steps), _schema_version(store)
    if have > newest:
        raise StoreError(
            f"The store {store.path} was written by a newer Loadrise (schema {have}; this "
            f"one knows {newest}).",
            "Update Loadrise, or use the copy that the older one wrote.",
        )
    if have == newest:
        return
    if read_only:
        raise StoreError(
            f"The store {store.path} has the older schema {have}.",
            "Open it once with a command that writes, such as fit.",
        )
    with store.transaction():
        for _, sql in steps[have:]:
            store.execute(sql)
        store.execute(
            "insert into records.schema_version select $version, current_timestamp",
            {"version": newest},
        )


def _schema_version(store: Store) -> int:
    if not store.has_table("records.schema_version"):
        _refuse_foreign(store)
        return 0
    found = store.fetch("select coalesce(max(version), 0) from records.schema_version")
    return int(found[0][0])


def _refuse_foreign(store: Store) -> None:
    sql = "select count(*) from duckdb_tables() where database_name = current_catalog()"
    if store.fetch(sql)[0][0]:
        raise StoreError(
            f"{store.path} is a DuckDB file, but no Loadrise store.",
            "Choose another file name; nothing was changed in it.",
        )


def note_rows(store: Store) -> None:
    """Note in the ledger how many rows each kept table has; part of every transaction."""
    if not store.has_table("records.row_ledger"):
        return
    counted = dict(store.rows("checks.kept_count"))
    if counted == _noted(store):
        return
    store.execute("delete from records.row_ledger")
    for table, count in sorted(counted.items()):
        store.execute(
            "insert into records.row_ledger values ($table, $count)",
            {"table": table, "count": count},
        )


def check_rows(store: Store) -> None:
    """Raise StoreError where a kept table has not the rows that the last transaction noted.

    A torn write-ahead log opens without a word; this is the word. Changed cells are not seen.
    """
    counted = dict(store.rows("checks.kept_count"))
    gaps = [
        f"{table} has {counted.get(table, 0):,} rows of {count:,}"
        for table, count in sorted(_noted(store).items())
        if counted.get(table, 0) != count
    ]
    if gaps:
        raise StoreError(
            f"The store {store.path} is damaged: {', '.join(gaps)}.",
            "Take the last backup and ingest the files that came in since.",
        )


def _noted(store: Store) -> dict[str, int]:
    return dict(store.fetch("select table_name, row_count from records.row_ledger"))
