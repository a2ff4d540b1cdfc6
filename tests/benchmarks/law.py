"""The whole fit of the fixed terms: exponent, spread by load, weights, robust; beside two peers.

Ours reads two columns from a store of at most 1 GB of memory and finds everything by itself. The
peers are fitted to at most 1,000,000 rows in memory and are given what they cannot find: RLM of
statsmodels the exponent, the spread and the weights, least_squares of scipy (with the loss of the
same objective) the spread and the weights. `seconds` is the fit alone, `peak_mb` the process.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.benchmarks.process import clocked, in_own_process

PEER_ROWS = 1_000_000
MODULE = "tests.benchmarks.law"
ROWS = Path(__file__).with_name("load_rows.sql")
WEIGHT = "1 / least(greatest(0.2 + 0.04 * rise_k::double, 0.1), 1)"
"""One over the chance that a reading this warm was clamped, as `load_rows.sql` draws it."""
TUNING = 4.685
MEMORY = "1GB"


def run(rows: int, folder: Path) -> list[dict[str, Any]]:
    """Measure ours at `rows` and all at what the peers can hold, scratch files in `folder`.

    `difference` is a peer's largest from ours on the same rows, of offset [K], gain [K] and
    exponent [1]; `times_faster` compares seconds a row.
    """
    folder.mkdir(parents=True, exist_ok=True)
    sizes = {"ours": rows} | dict.fromkeys(["ours, few rows", *PEERS], min(rows, PEER_ROWS))
    found: list[dict[str, Any]] = []
    try:
        for name, size in sizes.items():
            store = _store_of(size, folder)
            law = json.dumps(found[1]["law"] if name in PEERS else [])
            one = in_own_process(MODULE, name.partition(",")[0], str(store), law)
            found.append({"name": name, "rows": size, **one})
    finally:
        for size in set(sizes.values()):
            _path(size, folder).unlink(missing_ok=True)
    few = found[1]
    for one in found:
        if one["name"] in PEERS:
            pairs = zip(one["law"][:3], few["law"][:3], strict=True)
            one["difference"] = max(abs(a - b) for a, b in pairs)
        one["ns_per_row"] = 1e9 * one["seconds"] / one["rows"]
        one["times_ours"] = one["ns_per_row"] / found[0]["ns_per_row"]
    return found


def _path(rows: int, folder: Path) -> Path:
    return folder / f"bench_law_{rows}.duckdb"


def _store_of(rows: int, folder: Path) -> Path:
    store = _path(rows, folder)
    if not store.exists():
        in_own_process(MODULE, "make", str(store), str(rows))
    return store


def make(store: Path, rows: str) -> dict[str, Any]:
    """Write the readings."""
    from analytics.warehouse import open_store

    with open_store(store, memory_limit=MEMORY) as warehouse:
        warehouse.execute(ROWS.read_text(encoding="utf-8"), {"rows": int(rows)})
    return {}


def ours(store: Path, _: str) -> dict[str, Any]:
    """Fit from the store."""
    from analytics.statistics.load_law import fit_load_law
    from analytics.warehouse import open_store

    record: dict[str, Any] = {}
    with open_store(store, memory_limit=MEMORY) as warehouse, clocked(record):
        law = fit_load_law(warehouse, "bench_reading", weight=WEIGHT, tuning=TUNING)
    passes = sum(one.rows == "all" for one in law.history)
    found = [law.offset_k, law.gain_k, law.exponent, law.noise_k, law.noise_share]
    return {**record, "law": found, "passes_over_all": passes}


def _arrays(store: Path) -> tuple[Any, Any, Any]:
    import duckdb

    columns = f"load_fraction::double as x, rise_k::double as y, {WEIGHT} as w"
    with duckdb.connect(str(store), read_only=True) as connection:
        found = connection.execute(f"select {columns} from bench_reading").fetchnumpy()
    return found["x"], found["y"], found["w"]


def _spread(law: list[float], load: Any) -> Any:
    import numpy as np

    return np.hypot(law[3], law[4] * law[1] * load ** law[2])


def statsmodels(store: Path, told: str) -> dict[str, Any]:
    """Fit a line in load^exponent by RLM, readings scaled by their spread, weights in its norm."""
    import numpy as np
    import statsmodels.api as sm

    load, rise, weight = _arrays(store)
    law = json.loads(told)

    class Weighted(sm.robust.norms.TukeyBiweight):  # type: ignore[misc]
        def weights(self, z: Any) -> Any:
            return super().weights(z) * weight

    record: dict[str, Any] = {}
    with clocked(record):
        spread = _spread(law, load)
        design = np.column_stack([np.ones_like(load), load ** law[2]]) / spread[:, None]
        model = sm.RLM(rise / spread, design, M=Weighted(TUNING))
        fit = model.fit(scale_est=lambda _, residual: 1.0, conv="coefs", tol=1e-9, maxiter=200)
    return {**record, "law": [*fit.params.tolist(), law[2]]}


def scipy(store: Path, told: str) -> dict[str, Any]:
    """Fit offset, gain and exponent by least_squares with the bisquare's loss."""
    import numpy as np
    from scipy.optimize import least_squares

    load, rise, weight = _arrays(store)
    law = json.loads(told)

    def loss(z: Any) -> Any:
        k = np.maximum(1.0 - z / TUNING**2, 0.0)
        return np.stack([TUNING**2 / 3.0 * (1.0 - k**3), k**2, -2.0 / TUNING**2 * k]) * weight

    record: dict[str, Any] = {}
    with clocked(record):
        spread, log_load = _spread(law, load), np.log(load)

        def residual(at: Any) -> Any:
            return (rise - at[0] - at[1] * load ** at[2]) / spread

        def slope(at: Any) -> Any:
            shape = load ** at[2]
            parts = [np.ones_like(load), shape, at[1] * shape * log_load]
            return -np.column_stack(parts) / spread[:, None]

        start = [0.0, 30.0, 1.64]
        tight = {"xtol": 1e-12, "ftol": 1e-15, "gtol": 1e-15}
        fit = least_squares(residual, start, slope, loss=loss, x_scale="jac", **tight)
    return {**record, "law": fit.x.tolist()}


PEERS = ("statsmodels RLM", "scipy least_squares")
WORK: dict[str, Callable[[Path, str], dict[str, Any]]] = {
    "make": make,
    "ours": ours,
    "statsmodels RLM": statsmodels,
    "scipy least_squares": scipy,
}


if __name__ == "__main__":
    print(json.dumps(WORK[sys.argv[1]](Path(sys.argv[2]), sys.argv[3])))
