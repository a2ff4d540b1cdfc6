"""Rows in, rows out: one folder a case, `given-<table>.csv`, `params.toml`, `expect.csv`.

The tables named `given-…` stand in for what the query reads; columns of `expect.csv` are compared,
numbers to 1e-9. The expected rows are worked out by hand; the note of each case says how.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import pandas as pd
import pytest

from analytics import querybook
from analytics.warehouse import Warehouse, open_store

HERE = Path(__file__).parent
CASES = sorted(path.parent for path in HERE.glob("*/*/*/expect.csv"))


def _put(warehouse: Warehouse, table: str, path: Path) -> None:
    warehouse.execute(
        f"create or replace table {table} as select * from read_csv('{path}', header = true)"
    )


@pytest.mark.parametrize("case", CASES, ids=lambda path: "/".join(path.parts[-3:]))
def test_case(case: Path) -> None:
    name = f"{case.parts[-3]}.{case.parts[-2]}"
    with open_store() as warehouse:
        for given in sorted(case.glob("given-*.csv")):
            _put(warehouse, given.stem.removeprefix("given-"), given)
        file = case / "params.toml"
        params = tomllib.loads(file.read_text()) if file.exists() else {}
        warehouse.build(name, **params)
        _put(warehouse, "main.expected", case / "expect.csv")
        expected = pd.DataFrame(*_frame(warehouse, "main.expected"))
        columns = ", ".join(expected.columns)
        found = pd.DataFrame(*_frame(warehouse, f"(select {columns} from {name})"))
    key = [c for c in querybook.load(name).key if c in expected.columns] or list(expected.columns)
    pd.testing.assert_frame_equal(
        found.sort_values(key, ignore_index=True),
        expected.sort_values(key, ignore_index=True),
        check_dtype=False,
        rtol=1e-9,
        atol=1e-9,
    )


def _frame(warehouse: Warehouse, table: str) -> tuple[list[tuple[object, ...]], None, list[str]]:
    columns = [row[0] for row in warehouse.fetch(f"describe select * from {table}")]
    return warehouse.fetch(f"select * from {table}"), None, columns


def test_there_are_cases() -> None:
    assert len(CASES) >= 8
