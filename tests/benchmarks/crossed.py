"""Crossed random effects: the fit's passes beside statsmodels' MixedLM, by the row.

Visits lie within cameras' quarters, makes cross both. Ours is the fit as `loadrise fit` runs it on
such a design, to convergence: the exponent, the spread by load and every reading's robust weight
come with it. MixedLM gets the exponent and fits an intercept, a gain and three variances
(variance components, restricted likelihood); its cost grows with the cube of the rows, so it is
measured at 2,000 rows and compared by the row.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from tests.benchmarks.process import clocked, in_own_process

MIXED_ROWS = 2_000
MODULE = "tests.benchmarks.crossed"
ROWS = Path(__file__).with_name("crossed_rows.sql")
EXPONENT = 1.64
MINUTE_BAND = 8
"""All had carried their load for forty minutes or more."""


def run(rows: int, folder: Path) -> list[dict[str, Any]]:
    """Measure ours at `rows` and both at the size that MixedLM can take.

    `difference` is how far apart the two put the gain at full load, in MixedLM's standard errors,
    on the same rows; `times_faster` compares seconds a row.
    """
    folder.mkdir(parents=True, exist_ok=True)
    ours = in_own_process(MODULE, "ours", str(rows))
    small = in_own_process(MODULE, "ours", str(MIXED_ROWS))
    peer = in_own_process(MODULE, "mixed", str(MIXED_ROWS))
    apart = abs(small["at_full_load_k"] - peer["at_full_load_k"]) / peer["error_k"]
    found = [
        {"name": "ours", **ours},
        {"name": "ours, few rows", **small, "difference": apart},
        {"name": "statsmodels MixedLM", **peer},
    ]
    per_row = [1e9 * one["seconds"] / one["rows"] for one in found]
    return [
        {**one, "ns_per_row": own, "times_faster": per_row[-1] / own}
        for one, own in zip(found, per_row, strict=True)
    ]


def ours(rows: int) -> dict[str, Any]:
    """Lay the design out and fit it."""
    from analytics.baseline.whole import run as run_fit
    from analytics.settings import BaselineSettings
    from analytics.warehouse import open_store

    with open_store() as store:
        store.execute(ROWS.read_text(encoding="utf-8"), {"rows": rows})
        _put_levels(store)
        record: dict[str, Any] = {"rows": rows}
        with clocked(record):
            fitted = run_fit(store, BaselineSettings())
    groups, v = fitted.groups, fitted.effects.variances
    offset_k, gain_k = groups.coefficients[groups.taught[0], :2]
    return {
        **record,
        "passes": len(fitted.history),
        "exponent": groups.exponent["face"],
        "at_full_load_k": float(offset_k + gain_k * fitted.effects.minute_factor[0, MINUTE_BAND]),
        "variances": [v.make_offset, v.camera, v.visit],
    }


def _put_levels(store: Any) -> None:
    """Write the level tables: every group as a fit has them, forty makes of one, one rating."""
    import numpy as np

    from analytics.columns import DEVICE_CLASSES

    makes, cameras = (
        int(store.fetch(f"select max({name}) from fitting.design")[0][0])
        for name in ("make_id", "camera_level_id")
    )
    store.build("fitting.shelter_level")
    store.build("fitting.group_level", device_classes=list(DEVICE_CLASSES))
    of_group = {"channel": ["face"], "device_class": ["afci"], "is_multi_pole": [False]}
    store.put("fitting.rating_level", {"rating_id": [1], **of_group})
    store.put("fitting.camera_level", {"camera_level_id": np.arange(1, cameras + 1)})
    of_makes = {name: value * makes for name, value in of_group.items()}
    store.put("fitting.make_level", {"make_id": np.arange(1, makes + 1), **of_makes})
    group = "device_class = 'afci' and not is_multi_pole"
    shelter = "pole_family = 'one_pole' and shelter_level = 0"
    ids = {
        "group_id": _level(store, "group", group),
        "shelter_id": _level(store, "shelter", shelter),
        "rating_id": 1,
        "minute_band": MINUTE_BAND,
    }
    store.put(
        "fitting.kind",
        {"kind_id": np.arange(1, makes + 1), "make_id": np.arange(1, makes + 1)}
        | {"channel": ["face"] * makes}
        | {name: np.full(makes, value) for name, value in ids.items()},
    )


def _level(store: Any, name: str, wanted: str) -> int:
    found = f"select {name}_id from fitting.{name}_level where channel = 'face' and {wanted}"
    return int(store.fetch(found)[0][0])


def mixed(rows: int) -> dict[str, Any]:
    """Fit the same rows with MixedLM, the exponent given."""
    import numpy as np
    import statsmodels.formula.api as smf

    from analytics.warehouse import open_store

    with open_store() as store:
        store.execute(ROWS.read_text(encoding="utf-8"), {"rows": rows})
        columns = "channel_rise_k, load_fraction, visit_id, camera_level_id, make_id"
        table = store.fetch(f"select {columns} from fitting.design order by reading_id")
    import pandas as pd

    frame = pd.DataFrame(table, columns=columns.split(", "))
    frame["shape"] = frame["load_fraction"] ** EXPONENT
    parts = {name: f"0 + C({name})" for name in ("visit_id", "camera_level_id", "make_id")}
    record: dict[str, Any] = {"rows": rows}
    with clocked(record):
        model = smf.mixedlm("channel_rise_k ~ shape", frame, groups=np.ones(rows), vc_formula=parts)
        fit = model.fit()
    variances = dict(zip(model.exog_vc.names, fit.vcomp, strict=True))
    covariance = np.asarray(fit.cov_params())[:2, :2]
    return {
        **record,
        "at_full_load_k": float(fit.params.iloc[:2].sum()),
        "error_k": float(np.sqrt(covariance.sum())),
        "variances": [float(variances[n]) for n in ("make_id", "camera_level_id", "visit_id")],
    }


if __name__ == "__main__":
    print(json.dumps({"ours": ours, "mixed": mixed}[sys.argv[1]](int(sys.argv[2]))))
