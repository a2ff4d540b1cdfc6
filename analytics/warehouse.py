"""The store: one DuckDB file, opened, migrated, written in transactions, backed up.

The only module beside the querybook that knows duckdb. Tables of the folder `records` are kept;
tables of the stages are derived and rebuilt.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any, Self

import duckdb

from analytics import querybook, upkeep
from analytics.errors import QueryError, StoreBusyError, StoreError, query_failed

if TYPE_CHECKING:
    import pandas as pd

MEMORY = ":memory:"
STAGES = ("records", "staging", "normalise", "baseline", "screening", "marts")
WORK_CATALOGS = ("fitting", "judging", "opinion", "tuning", "trends")
"""Stages whose tables live in memory beside the store and are gone when it is closed."""
_RESERVED_STEMS = frozenset(
    {*STAGES, *WORK_CATALOGS, "temp", "main", "system", "memory", "backup_copy"}
)
_CONFIG: dict[str, str | bool | int | float | list[str]] = {
    "autoinstall_known_extensions": False,
    "autoload_known_extensions": False,
}


class Warehouse:
    """An open store. Use as a context manager; see `open_store`."""

    def __init__(self, connection: duckdb.DuckDBPyConnection, path: str) -> None:
        self._connection = connection
        self.path = path

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the connection; what was not committed is gone."""
        self._connection.close()

    def interrupt(self) -> None:
        """End the statement that another thread runs on this store."""
        self._connection.interrupt()

    def execute(self, sql: str, parameters: Mapping[str, object] | None = None) -> None:
        """Run one statement and throw its result away."""
        self.fetch(sql, parameters)

    def fetch(
        self, sql: str, parameters: Mapping[str, object] | None = None
    ) -> list[tuple[Any, ...]]:
        """Run one statement and return its rows. Raises QueryError with the statement."""
        try:
            result = self._connection.execute(sql, dict(parameters) if parameters else None)
            return result.fetchall()
        except (duckdb.InterruptException, RuntimeError) as error:
            if "interrupt" not in str(error).lower():
                raise
            raise KeyboardInterrupt from error
        except duckdb.Error as error:
            raise query_failed(sql, f"{type(error).__name__}: {error}") from error

    def rows(self, name: str, **params: object) -> list[tuple[Any, ...]]:
        """Run the named query and return its rows."""
        return self.fetch(querybook.load(name).sql, params)

    def row(self, name: str, **params: object) -> tuple[Any, ...]:
        """Run the named query, which yields exactly one row, and return it."""
        found = self.rows(name, **params)
        if len(found) != 1:
            raise QueryError(f"Query {name} gave {len(found)} rows where one was expected.")
        return found[0]

    def records(self, name: str, **params: object) -> list[dict[str, Any]]:
        """Run the named query and return its rows by column name."""
        rows = self.rows(name, **params)
        names = [one[0] for one in self._connection.description or ()]
        return [dict(zip(names, row, strict=True)) for row in rows]

    def frame(self, name: str, **params: object) -> pd.DataFrame:
        """Run the named query and return a pandas frame."""
        sql = querybook.load(name).sql
        try:
            return self._connection.execute(sql, params or None).df()
        except duckdb.Error as error:
            raise query_failed(sql, f"{type(error).__name__}: {error}") from error

    def build(self, name: str, **params: object) -> int:
        """Create or replace the table of the named query; return its number of rows."""
        sql = querybook.load(name).sql
        count = self.fetch(f"create or replace table {name} as\n{sql}", params)
        return int(count[0][0]) if count else 0

    def view(self, name: str, table: str = "") -> None:
        """Create or replace a view: the rows of `table`, or the query so named, without params."""
        sql = f"select * from {table}" if table else querybook.load(name).sql
        self.execute(f"create or replace view {name} as\n{sql}")

    def stage(self, name: str, table: str, **params: object) -> int:
        """Create or replace the temporary `table` of the named query; return its number of rows."""
        sql = querybook.load(name).sql
        count = self.fetch(f"create or replace temp table {table} as\n{sql}", params)
        return int(count[0][0]) if count else 0

    def append(self, name: str, table: str, **params: object) -> int:
        """Insert the rows of the named query into `table` by column name; return how many."""
        sql = querybook.load(name).sql
        count = self.fetch(f"insert into {table} by name\n{sql}", params)
        return int(count[0][0]) if count else 0

    def append_through(
        self, source: str, alias: str, name: str, table: str, params: Mapping[str, object]
    ) -> int:
        """Append the query `name`, which reads the query `source` as `alias`, made in passing."""
        inner, outer = querybook.load(source).sql, querybook.load(name).sql
        sql = f"with {alias} as (\n{inner}\n) select * from (\n{outer}\n)"
        count = self.fetch(f"insert into {table} by name\n{sql}", params)
        return int(count[0][0]) if count else 0

    def register(self, view: str, rows: object) -> None:
        """Let queries read an arrow table or pandas frame under the name `view`."""
        self._connection.register(view, rows)

    def put(self, table: str, columns: Mapping[str, object], *, is_temporary: bool = False) -> None:
        """Create or replace `table` from equally long columns, as pyarrow takes them."""
        import pyarrow as pa

        self._connection.register("put_rows", pa.table(dict(columns)))
        self.execute(f"create or replace table {table} as select * from put_rows")
        self._connection.unregister("put_rows")

    def copy(self, source: str, target: str) -> None:
        """Create or replace the table `target` as a copy of `source`."""
        self.execute(f"create or replace table {target} as select * from {source}")

    def drop(self, table: str) -> None:
        """Drop a derived table where it exists."""
        self.execute(f"drop table if exists {table}")

    def unregister(self, view: str) -> None:
        """Forget a registered frame."""
        self._connection.unregister(view)

    def has_table(self, table: str) -> bool:
        """Tell whether `schema.table` exists."""
        schema, _, name = table.partition(".")
        sql = (
            "select count(*) from information_schema.tables "
            "where table_schema = $schema and table_name = $name"
        )
        return bool(self.fetch(sql, {"schema": schema, "name": name})[0][0])

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """All or nothing: commit at the end, roll back on any error."""
        self.execute("begin transaction")
        try:
            yield
            upkeep.note_rows(self)
        except BaseException:
            self._connection.execute("rollback")
            raise
        self.execute("commit")


def open_store(
    path: str | Path = MEMORY,
    *,
    read_only: bool = False,
    memory_limit: str = "",
    threads: int = 0,
) -> Warehouse:
    """Open (or make) the store at `path` and bring its schema up to date.

    Raises StoreBusyError where another process holds it, StoreError where the file is no store
    or was written by a newer Loadrise.
    """
    text = str(path)
    check_store_name(text, read_only)
    config = dict(_CONFIG)
    if memory_limit:
        config["memory_limit"] = memory_limit
    if threads:
        config["threads"] = threads
    warehouse = Warehouse(_connect(text, read_only, config), text)
    try:
        _prepare(warehouse)
        upkeep.bring_forward(warehouse, read_only=read_only)
        upkeep.check_rows(warehouse)
    except BaseException:
        warehouse.close()
        raise
    return warehouse


def open_bare(*, without: str = "-") -> Warehouse:
    """Open an empty store in memory, without tables; macros named `without…` are left out."""
    warehouse = Warehouse(_connect(MEMORY, False, dict(_CONFIG)), MEMORY)
    _prepare(warehouse, without)
    return warehouse


def _prepare(warehouse: Warehouse, without: str = "-") -> None:
    warehouse.execute("set enable_progress_bar = false")  # DuckDB's own, on standard output
    _attach_work(warehouse)
    _load_macros(warehouse, without)


def check_store_name(text: str, read_only: bool = False) -> None:
    """Raise StoreError where no store can be at this path; make its folder where it will be."""
    if text == MEMORY:
        return
    path = Path(text)
    if path.stem.lower() in _RESERVED_STEMS:
        raise StoreError(f"A store cannot be called “{path.name}”.", "Choose another file name.")
    if path.is_dir():
        raise StoreError(f"{text} is a folder, not a store file.")
    if read_only and not path.exists():
        raise StoreError(f"There is no store at {text}.", "Ingest a file first.")
    if not read_only:
        _make_folder(path.parent)


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(
            f"The folder {folder} cannot be made: {error.strerror}.", "Choose another place."
        ) from error


def _connect(
    text: str, read_only: bool, config: dict[str, str | bool | int | float | list[str]]
) -> duckdb.DuckDBPyConnection:
    try:
        return duckdb.connect(text, read_only=read_only, config=config)
    except duckdb.Error as error:
        raise trouble_on_open(text, str(error)) from error


def trouble_on_open(text: str, words: str) -> StoreError:
    """Return the error that DuckDB's words about the file at `text` amount to."""
    if "lock" in words.lower():
        return StoreBusyError(
            f"The store {text} is in use by another program{_holder(words)}.",
            "Wait until it has finished, then try again. Nothing was changed.",
        )
    if "not a valid" in words:
        return StoreError(f"{text} cannot be opened as a store: it is no DuckDB file.")
    return StoreError(f"{text} cannot be opened as a store: {words}")


def _holder(text: str) -> str:
    found = re.search(r"PID (\d+)", text)
    return f" (process {found[1]})" if found else ""


def _attach_work(warehouse: Warehouse) -> None:
    for name in WORK_CATALOGS:
        warehouse.execute(f"attach if not exists ':memory:' as {name} (read_write)")


def _load_macros(warehouse: Warehouse, without: str) -> None:
    """Create the macros; one that calls another waits until that one is there."""
    found = querybook.statements("macros")
    waiting = [sql for name, sql in found if not name.startswith(f"macros.{without}")]
    while waiting:
        left = [sql for sql in waiting if not _is_created(warehouse, sql)]
        if len(left) == len(waiting):
            warehouse.execute(left[0])
        waiting = left


def _is_created(warehouse: Warehouse, sql: str) -> bool:
    try:
        warehouse.execute(sql)
    except QueryError:
        return False
    return True
