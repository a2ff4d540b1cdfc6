"""Robust fit with a fixed exponent: seconds, memory and coefficients beside named peers.

Every contender runs in a process of its own on the same rows: ours reads them from a store,
statsmodels and numpy find theirs in memory. `seconds` is the fit alone, `peak_mb` the process.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.benchmarks.process import in_own_process, peak_mb

EXPONENT = 1.64
STORE = "bench_fit.duckdb"
MODULE = "tests.benchmarks.fit"
Fitted = tuple[list[float], float, dict[str, Any]]

MAKE_ROWS = """
create or replace table bench_reading as
with uniform as (
    select i,
        (hash(i) % 1000003 + 0.5) / 1000003 as a,
        (hash(i + 0.5) % 1000003 + 0.5) / 1000003 as b,
        (hash(-i) % 1000003 + 0.5) / 1000003 as c
    from range($rows) as r(i)
)
select
    0.05 + 0.95 * a as load_fraction,
    2 + 28 * pow(0.05 + 0.95 * a, 1.64)
    + 1.5 * sqrt(-2 * ln(b)) * cos(2 * pi() * c)
    + if(hash(i + 0.25) % 10 = 0, 15 * a, 0) as rise_k
from uniform
"""
"""Invented readings, one in ten of them too hot, the same for the same number of rows."""


def run(rows: int, folder: Path) -> list[dict[str, Any]]:
    """Measure every contender on `rows` rows, scratch files in `folder`; return one dict each.

    `difference` is the largest difference of a coefficient from statsmodels RLM iterated until
    its coefficients stand still to 1e-12; `times_faster` is RLM's default seconds over these.
    """
    folder.mkdir(parents=True, exist_ok=True)
    _make(rows, folder)
    found = [{"name": name, **in_own_process(MODULE, name, str(folder))} for name in CONTENDERS]
    by_name = {one["name"]: one for one in found}
    reference = by_name["statsmodels RLM to 1e-12"]["coefficients"]
    peer_seconds = by_name["statsmodels RLM"]["seconds"]
    for one in found:
        pairs = zip(one["coefficients"], reference, strict=True)
        one["difference"] = max(abs(a - b) for a, b in pairs)
        one["times_faster"] = peer_seconds / one["seconds"]
        one.update(work="fixed-exponent robust fit", rows=rows)
    for left_over in (folder / STORE, folder / "load.npy", folder / "rise.npy"):
        left_over.unlink(missing_ok=True)
    return found


def _make(rows: int, folder: Path) -> None:
    """Write the rows as a store and as arrays, in a process that then gives its memory back."""
    in_own_process(MODULE, "make", str(folder), str(rows))


def _write_rows(rows: int, folder: Path) -> None:
    import duckdb
    import numpy as np

    from analytics.warehouse import open_store

    (folder / STORE).unlink(missing_ok=True)
    with open_store(folder / STORE) as store:
        store.execute(MAKE_ROWS, {"rows": rows})
    with duckdb.connect(str(folder / STORE), read_only=True) as connection:
        columns = connection.execute("select load_fraction, rise_k from bench_reading").fetchnumpy()
    np.save(folder / "load.npy", columns["load_fraction"])
    np.save(folder / "rise.npy", columns["rise_k"])


def fit_ours(folder: Path) -> Fitted:
    """Fit from the store."""
    from analytics.statistics.robust import robust_fit
    from analytics.warehouse import open_store

    with open_store(folder / STORE, memory_limit="1GB") as store:
        start = time.perf_counter()
        regressors = ["1.0", f"pow(load_fraction, {EXPONENT})"]
        fit = robust_fit(store, "bench_reading", "rise_k", regressors)
        seconds = time.perf_counter() - start
    scans = sum(one.rows == "all" for one in fit.history)
    return list(fit.coefficients), seconds, {"scale": fit.scale, "passes_over_all": scans}


def _arrays(folder: Path) -> tuple[Any, Any]:
    import numpy as np

    load = np.load(folder / "load.npy")
    return np.column_stack([np.ones_like(load), load**EXPONENT]), np.load(folder / "rise.npy")


def _fit_statsmodels(folder: Path, **options: Any) -> Fitted:
    import statsmodels.api as sm

    design, rise = _arrays(folder)
    start = time.perf_counter()
    fit = sm.RLM(rise, design, M=sm.robust.norms.HuberT()).fit(**options)
    seconds = time.perf_counter() - start
    passes = int(fit.fit_history["iteration"])
    return fit.params.tolist(), seconds, {"scale": float(fit.scale), "passes_over_all": passes}


def fit_statsmodels(folder: Path) -> Fitted:
    """Fit with statsmodels as it comes."""
    return _fit_statsmodels(folder)


def fit_statsmodels_tightly(folder: Path) -> Fitted:
    """Fit with statsmodels until the coefficients stand still."""
    return _fit_statsmodels(folder, conv="coefs", tol=1e-12, maxiter=200)


def fit_numpy(folder: Path) -> Fitted:
    """Fit by reweighting in numpy, normal equations, until the coefficients stand still."""
    import numpy as np

    from analytics.statistics.robust import MAD_EXACT, TUNING

    design, rise = _arrays(folder)
    start = time.perf_counter()
    beta, weight, moves = np.zeros(2), np.ones_like(rise), [np.inf]
    while moves[-1] > 1e-12 and len(moves) <= 200:
        weighted = design * weight[:, None]
        move = np.linalg.solve(weighted.T @ design, weighted.T @ (rise - design @ beta))
        beta = beta + move
        size = np.abs(rise - design @ beta)
        scale = np.median(size) / MAD_EXACT
        weight = TUNING["huber"] / np.maximum(TUNING["huber"], size / scale)
        moves.append(float(np.max(np.abs(move))))
    seconds = time.perf_counter() - start
    return beta.tolist(), seconds, {"scale": float(scale), "passes_over_all": len(moves) - 1}


CONTENDERS: dict[str, Callable[[Path], Fitted]] = {
    "ours": fit_ours,
    "statsmodels RLM": fit_statsmodels,
    "statsmodels RLM to 1e-12": fit_statsmodels_tightly,
    "numpy, reweighting": fit_numpy,
}


def _main(name: str, folder: str, *more: str) -> None:
    if name == "make":
        _write_rows(int(more[0]), Path(folder))
        print("{}")
        return
    coefficients, seconds, extra = CONTENDERS[name](Path(folder))
    record = {"coefficients": coefficients, "seconds": seconds, "peak_mb": peak_mb(), **extra}
    print(json.dumps(record))


if __name__ == "__main__":
    _main(*sys.argv[1:])
