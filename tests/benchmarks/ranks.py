"""Rank of each reading among comparable ones of other panels: seconds and exactness.

Ours is the query `judging.rank` as screening runs it. The peer is pandas' groupby rank, twice, on
the same rows; it must agree row by row, and below p = 0.01 without any difference.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.benchmarks.process import clocked, in_own_process

TAIL = 0.01
OURS = "bench_ranks.parquet"

MAKE_ROWS = """
select
    i as reading_id,
    i // 10 as visit_id,
    true as is_taught,
    (hash(i, 1) % 9)::integer as group_id,
    1 + (hash(i, 2) % 7)::integer as load_band,
    round(sqrt(-2 * ln((hash(i, 3) % 1000003 + 0.5) / 1000003))
    * cos(2 * pi() * (hash(i, 4) % 1000003 + 0.5) / 1000003)
    + if(hash(i, 5) % 70 = 0, 5, 0), 3) as z
from range({rows}) as r(i)
"""
"""Ten readings a visit in 63 cells, rounded so that there are ties, one in seventy far out."""


def run(rows: int, folder: Path) -> list[dict[str, Any]]:
    """Measure both; pandas tells how many ranks differ in all and in the tail below p = 0.01."""
    words = ("tests.benchmarks.ranks",)
    found = [
        {"name": name, **in_own_process(*words, name, str(folder), str(rows))}
        for name in CONTENDERS
    ]
    (folder / OURS).unlink()
    return [{**one, "times_ours": one["seconds"] / found[0]["seconds"]} for one in found]


def ours(folder: Path, rows: int) -> dict[str, Any]:
    """Build the query's table; rows out must be rows in."""
    from analytics.warehouse import open_store

    with open_store() as store:
        store.execute("create table judging.evidence as " + MAKE_ROWS.format(rows=rows))
        store.execute(
            "create table normalise.visit as "
            "select distinct visit_id, 'p' || visit_id as panel_id from judging.evidence"
        )
        record: dict[str, Any] = {"rows_in": rows}
        with clocked(record):
            kept = store.build("judging.rank")
        store.execute(
            f"copy (select * from judging.rank order by reading_id) to '{folder / OURS}' "
            "(format parquet)"
        )
    assert kept == rows, f"{rows} rows in, {kept} out"
    return {**record, "rows_out": kept}


def pandas(folder: Path, rows: int) -> dict[str, Any]:
    """Rank with pandas, and compare."""
    import duckdb
    import pandas as pd

    frame = duckdb.connect().execute(MAKE_ROWS.format(rows=rows)).df()
    record: dict[str, Any] = {"rows_in": rows}
    with clocked(record):
        whole = frame.groupby(["group_id", "load_band"])["z"]
        own = frame.groupby(["group_id", "load_band", "visit_id"])["z"]
        hotter = whole.rank(method="min", ascending=False)
        hotter -= own.rank(method="min", ascending=False)
        comparable = whole.transform("size") - own.transform("size")
        p_value = (1.0 + hotter) / (1.0 + comparable)
    theirs = pd.read_parquet(folder / OURS)
    differs = (theirs["hotter_count"] != hotter) | (theirs["comparable_count"] != comparable)
    tail = p_value < TAIL
    return {
        **record,
        "rows_out": len(theirs),
        "differ": int(differs.sum()),
        "tail_rows": int(tail.sum()),
        "tail_differ": int((differs & tail).sum()),
        "largest_p_gap": float((theirs["p_value"] - p_value).abs().max()),
    }


CONTENDERS: dict[str, Callable[[Path, int], dict[str, Any]]] = {"ours": ours, "pandas": pandas}


if __name__ == "__main__":
    print(json.dumps(CONTENDERS[sys.argv[1]](Path(sys.argv[2]), int(sys.argv[3]))))
