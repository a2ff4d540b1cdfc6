"""What a header says about grain and key holds on rows."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from analytics import querybook
from analytics.baseline import fit
from analytics.errors import QueryError
from analytics.screening import screen
from analytics.warehouse import Warehouse, open_store
from tests.architecture.parsed import all_names
from tests.cli.fleet import fill

KEYED = [name for name in all_names() if querybook.load(name).key]
LEAST_TABLES = 25
"""Fewest tables that a fit and a screening leave behind; the rest are queries run on demand."""


@pytest.fixture(scope="module")
def warehouse() -> Iterator[Warehouse]:
    with open_store() as opened:
        fill(opened)
        fit(opened)
        screen(opened)
        yield opened


def _is_there(warehouse: Warehouse, table: str) -> bool:
    try:
        warehouse.fetch(f"select 1 from {table} limit 0")
    except QueryError:
        return False
    return True


def _source(warehouse: Warehouse, name: str) -> str | None:
    """Return what to read for a query: its table, or itself where it takes no parameters."""
    query = querybook.load(name)
    if _is_there(warehouse, name):
        return name
    if query.folder == "marts" and not query.params:
        return f"(\n{query.sql}\n)"
    return None


def test_enough_tables_are_there(warehouse: Warehouse) -> None:
    assert sum(_source(warehouse, name) is not None for name in KEYED) >= LEAST_TABLES


@pytest.mark.parametrize("name", KEYED)
def test_key_is_unique(warehouse: Warehouse, name: str) -> None:
    source = _source(warehouse, name)
    if source is None:
        return
    key = ", ".join(querybook.load(name).key)
    doubled = warehouse.fetch(
        f"select {key}, count(*) from {source} group by all having count(*) > 1"
    )
    assert doubled == []
