"""What a query really reads and takes, as DuckDB's own parser sees it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

import duckdb

from analytics import querybook


@dataclass(frozen=True)
class Parsed:
    """The statements of one file, the tables they read, the parameters they take."""

    count: int
    reads: frozenset[str]
    params: frozenset[str]


def all_names() -> list[str]:
    """Return the name of every query."""
    return [name for folder in querybook.folders() for name in querybook.names(folder)]


@cache
def parsed(name: str) -> Parsed:
    """Parse the query; the name of a table handed to a table macro counts as read."""
    sql = querybook.load(name).sql
    text = duckdb.connect().execute("select json_serialize_sql($s::varchar)", {"s": sql}).fetchall()
    tree = json.loads(text[0][0])
    assert not tree["error"], f"{name}: {tree['error_message']}"
    nodes = list(_walk(tree))
    ctes = {entry["key"] for node in nodes if "cte_map" in node for entry in node["cte_map"]["map"]}
    return Parsed(
        len(tree["statements"]),
        frozenset(_tables(nodes, ctes)),
        frozenset(n["identifier"] for n in nodes if n.get("type") == "VALUE_PARAMETER"),
    )


def _walk(node: Any) -> Iterator[dict[str, Any]]:
    if isinstance(node, dict):
        yield node
        for one in node.values():
            yield from _walk(one)
    elif isinstance(node, list):
        for one in node:
            yield from _walk(one)


def _tables(nodes: list[dict[str, Any]], ctes: set[str]) -> Iterator[str]:
    for node in nodes:
        if node.get("type") == "BASE_TABLE":
            schema, table = node["schema_name"], node["table_name"]
            if schema or table not in ctes:
                yield f"{schema}.{table}" if schema else table
        elif node.get("type") == "TABLE_FUNCTION":
            yield from re.findall(r'"text": "(\w+\.\w+)"', json.dumps(node["function"]))
