"""The small fleet that pages are tested on: tables as files, no fit behind them.

Seven visits of invented panels in 2025Q4, 2026Q2 and 2026Q3, with a gap between. They were taken
from an invented fleet once and rounded; the page has to show what they say, whatever the method.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from analytics.policy import default_policy
from analytics.warehouse import Warehouse, open_store

FOLDER = Path(__file__).parent / "quarter"
LAST = "2026Q3"


@contextmanager
def small_fleet() -> Iterator[Warehouse]:
    """Yield a store in memory that holds the tables of the folder."""
    with open_store() as warehouse:
        for file in sorted(FOLDER.glob("given-*.csv")):
            table = file.stem.removeprefix("given-")
            warehouse.execute(
                f"create or replace table {table} as select * from read_csv('{file}', "
                "header = true, nullstr = '')"
            )
        warehouse.execute(
            "update screening.result set policy_version = $version",
            {"version": default_policy().version},
        )
        yield warehouse
