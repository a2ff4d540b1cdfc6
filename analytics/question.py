"""A question in SQL that the reader asks the store; the store cannot change by it."""

from __future__ import annotations

import json
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any

from analytics.errors import QueryError, UsageError
from analytics.warehouse import Warehouse


@dataclass(frozen=True)
class Answer:
    """The columns' names and the rows."""

    names: tuple[str, ...]
    rows: tuple[tuple[Any, ...], ...]


def ask(warehouse: Warehouse, sql: str) -> Answer:
    """Run one select against a store that was opened read-only, without access to other files.

    Raises UsageError where it is no single select or the SQL does not run.
    """
    text = sql.strip().rstrip(";")
    _check_select(warehouse, text)
    warehouse.execute("set enable_external_access = false")
    try:
        described = warehouse.fetch(f"describe from (\n{text}\n)")
        rows = _run(warehouse, text)
    except QueryError as error:
        raise _no_answer(error.trouble) from error
    return Answer(tuple(row[0] for row in described), tuple(rows))


def _run(warehouse: Warehouse, sql: str) -> list[tuple[Any, ...]]:
    """Run the select in a thread beside, so that an interrupt from the keyboard ends it at once."""
    with ThreadPoolExecutor(max_workers=1) as pool:
        running = pool.submit(warehouse.fetch, sql)
        try:
            return running.result()
        except KeyboardInterrupt:
            warehouse.interrupt()
            raise


def _check_select(warehouse: Warehouse, text: str) -> None:
    found = warehouse.fetch("select json_serialize_sql($sql::varchar)", {"sql": text})
    parsed = json.loads(found[0][0])
    if parsed["error"] and parsed["error_type"] == "parser":
        raise _no_answer(f"Parser Error: {parsed['error_message']}")
    if parsed["error"] or len(parsed["statements"]) != 1:
        raise UsageError(
            "Only one select can be asked; nothing was run.", "Try from records.reading."
        )


def _no_answer(words: str) -> UsageError:
    return UsageError(
        f"The query does not run: {words}",
        'Names of tables: loadrise sql "select * from duckdb_tables()".',
    )
