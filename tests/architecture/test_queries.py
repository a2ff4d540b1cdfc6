"""Every query's header says what its SQL does."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from analytics import querybook
from analytics.warehouse import open_store

FOLDERS = ("staging", "normalise", "fitting", "judging", "screening", "marts")
ORDER = ("records", "staging", "normalise", "baseline", "fitting", "judging", "screening", "marts")
QUERIES = [name for folder in FOLDERS for name in querybook.names(folder)]


def _tables(node: object, ctes: set[str], found: set[str]) -> None:
    if isinstance(node, list):
        for one in node:
            _tables(one, ctes, found)
    if not isinstance(node, dict):
        return
    if node.get("type") == "BASE_TABLE":
        parts = (node.get("catalog_name"), node.get("schema_name"), node["table_name"])
        found.add(".".join(part for part in parts if part))
    ctes.update(entry["key"] for entry in (node.get("cte_map") or {}).get("map", []))
    for one in node.values():
        _tables(one, ctes, found)


def _read_by(sql: str) -> set[str]:
    with open_store() as warehouse:
        text = warehouse.fetch("select json_serialize_sql($sql)", {"sql": sql})[0][0]
    parsed = json.loads(text)
    assert not parsed["error"], parsed
    assert len(parsed["statements"]) == 1
    ctes: set[str] = set()
    found: set[str] = set()
    _tables(parsed, ctes, found)
    return found - ctes


@pytest.mark.parametrize("name", QUERIES)
def test_header_tells_what_is_read(name: str) -> None:
    query = querybook.load(name)
    assert set(query.reads) == _read_by(query.sql)
    code = re.sub(r"--.*", "", query.sql)
    assert set(query.params) == set(re.findall(r"\$(\w+)", code))


@pytest.mark.parametrize("name", QUERIES)
def test_query_reads_its_own_or_an_earlier_folder(name: str) -> None:
    query = querybook.load(name)
    mine = ORDER.index(query.folder)
    folders = [table.split(".")[0] for table in query.reads if "." in table]
    assert all(ORDER.index(folder) <= mine for folder in folders if folder in ORDER), query.reads


@pytest.mark.parametrize("name", QUERIES)
def test_query_is_short(name: str) -> None:
    folder, _, file = name.partition(".")
    text = Path(str(querybook.files("queries").joinpath(folder, f"{file}.sql"))).read_text()
    assert len(text.splitlines()) <= 130
