"""A panel's effect without the reading judged: nanoseconds a row beside named peers.

Ours is the macro `left_out` that fit and screening use. pandas does the same arithmetic with
groupby and must agree; statsmodels' MixedLM (a random intercept for each panel, nothing left out,
no robust weights) is fitted once on at most 20,000 rows, since it takes far longer a row.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.benchmarks.process import clocked, in_own_process

VARIANCE_K2, TUNING = 1.44, 4.685
MIXED_ROWS = 20_000
OURS = "bench_left_out.parquet"

MAKE_ROWS = """
select
    i as reading_id,
    i // 10 as visit_id,
    'face' as channel,
    true as is_taught,
    true as is_telling,
    1.2 * sqrt(-2 * ln((hash(i // 10, 1) % 1000003 + 0.5) / 1000003))
    * cos(2 * pi() * (hash(i // 10, 2) % 1000003 + 0.5) / 1000003)
    + sqrt(-2 * ln((hash(i, 3) % 1000003 + 0.5) / 1000003))
    * cos(2 * pi() * (hash(i, 4) % 1000003 + 0.5) / 1000003)
    + if(hash(i, 5) % 50 = 0, 8, 0) as panel_residual_k,
    0.5 + (hash(i, 6) % 1000003) / 1000003 as variance_k2
from range({rows}) as r(i)
"""
"""Ten readings a panel, one in fifty of them 8 K too hot, the same for the same number of rows."""


def run(rows: int, folder: Path) -> list[dict[str, Any]]:
    """Measure every contender; `difference` [K] is pandas' largest from ours over all rows."""
    found = []
    for name in CONTENDERS:
        one = in_own_process("tests.benchmarks.panels", name, str(folder), str(rows))
        per_row = 1e9 * one["seconds"] / one["rows"]
        found.append({"name": name, **one, "ns_per_row": per_row})
    (folder / OURS).unlink()
    ours = found[0]["ns_per_row"]
    return [{**one, "times_ours": one["ns_per_row"] / ours} for one in found]


def ours(folder: Path, rows: int) -> dict[str, Any]:
    """Run the macro over a table in the store's memory."""
    from analytics.warehouse import open_store

    with open_store() as store:
        store.execute("create table judging.laid as " + MAKE_ROWS.format(rows=rows))
        record: dict[str, Any] = {"rows": rows}
        with clocked(record):
            store.execute(
                "create table judging.residual as "
                "select reading_id, visit_k, residual_k, spread_k "
                f"from left_out('judging.laid', {VARIANCE_K2}, {TUNING})"
            )
        kept = store.fetch("select count(*) from judging.residual")[0][0]
        store.execute(
            "copy (select residual_k from judging.residual order by reading_id) "
            f"to '{folder / OURS}' (format parquet)"
        )
    assert kept == rows
    return record


def pandas(folder: Path, rows: int) -> dict[str, Any]:
    """Do the same with groupby, and compare."""
    import duckdb
    import numpy as np
    import pandas as pd

    frame = duckdb.connect().execute(MAKE_ROWS.format(rows=rows)).df()
    record: dict[str, Any] = {"rows": rows}
    with clocked(record):
        own = _pandas_left_out(frame)
    theirs = pd.read_parquet(folder / OURS)["residual_k"].to_numpy()
    return {**record, "difference": float(np.abs(own - theirs).max())}


def _pandas_left_out(frame: Any) -> Any:
    import numpy as np

    visit = frame["visit_id"].to_numpy()
    gap, variance = frame["panel_residual_k"], frame["variance_k2"]
    root = np.sqrt(variance)
    groups = gap.groupby(visit)
    count = groups.transform("size")
    middle = groups.transform("median") * count / (count + 2.0)

    def weights(at: Any) -> Any:
        z = (gap - at) / root / TUNING
        return (1.0 - z**2).clip(lower=0.0) ** 2 / variance

    weight = weights(middle)
    sums = [part.groupby(visit).transform("sum") for part in (weight * gap, weight)]
    weight = weights(sums[0] / (sums[1] + 1.0 / VARIANCE_K2))
    whole = [part.groupby(visit).transform("sum") for part in (weight * gap, weight)]
    left = whole[1] - weight + 1.0 / VARIANCE_K2
    return (gap - (whole[0] - weight * gap) / left).to_numpy()


def mixed(folder: Path, rows: int) -> dict[str, Any]:
    """Fit statsmodels' mixed model and predict each panel's effect."""
    import duckdb
    import numpy as np
    import statsmodels.api as sm

    count = min(rows, MIXED_ROWS)
    frame = duckdb.connect().execute(MAKE_ROWS.format(rows=count)).df()
    record: dict[str, Any] = {"rows": count}
    with clocked(record):
        model = sm.MixedLM(frame["panel_residual_k"], np.ones(count), groups=frame["visit_id"])
        effects = model.fit().random_effects
    assert len(effects) == frame["visit_id"].nunique()
    return record


CONTENDERS: dict[str, Callable[[Path, int], dict[str, Any]]] = {
    "ours": ours,
    "pandas groupby": pandas,
    "statsmodels MixedLM": mixed,
}


if __name__ == "__main__":
    print(json.dumps(CONTENDERS[sys.argv[1]](Path(sys.argv[2]), int(sys.argv[3]))))
