"""Reference detectors that learn from the fleet: boosting, isolation forest, local outliers.

They know the readings with a current only: taught on all of them, each did worse. Missing minutes
and neighbours are missing values to boosting, which splits on them; to the two outlier detectors a
termination that was not read is one without any residual.
"""

from __future__ import annotations

import warnings

import numpy as np
import pandas as pd

from tests.guarantees.scoring_references import (
    LEAST_SCALE_K,
    Array,
    Forms,
    face_rise,
    noted,
    other_quantile,
    over_alike,
    termination_rise,
)

CATEGORIES = ("kind", "camera", "camera_quarter", "make", "location")
PLAIN = ["kind", "x", "rated", "poles", "minutes"]
LOSSES = {"absolute": "absolute_error", "squared": "squared_error"}
NEIGHBOURS = {"near": 35, "wide": 200}
"""Neighbours of the local outlier factor, in two forms; fewer than the rows."""


def features(rows: pd.DataFrame) -> pd.DataFrame:
    """Return everything noted about a reading, its panel, its neighbours and its camera.

    The device itself is left out of its panel's middle and cool end.
    """
    rise, camera = face_rise(rows), rows["camera_id"].astype(str)
    words = {
        "kind": rows["device_class"],
        "camera": camera,
        "camera_quarter": camera + noted(rows, "quarter"),
        "make": noted(rows, "make"),
        "location": noted(rows, "panel_location"),
    }
    return pd.DataFrame(
        {
            **{name: word.astype("category").cat.codes for name, word in words.items()},
            "x": rows["observed_load_fraction"],
            "rated": rows["rated_a"],
            "poles": rows["poles"],
            "minutes": rows["noted_minutes"],
            **_beside(rows),
            "panel_middle": other_quantile(rows, rise, 0.5),
            "panel_low": other_quantile(rows, rise, 0.2),
            "devices": rows["panel_devices"],
            "position": rows["position"],
            "air": rows["noted_air_degc"],
        },
        index=rows.index,
    )


def _beside(rows: pd.DataFrame) -> dict[str, Array]:
    """Return the rises [K] of the devices above, below and across; nothing there gives NaN."""
    visit = [rows["inspection_id"].to_numpy(), rows["panel_id"].to_numpy()]
    slot, rise = rows["position"].to_numpy(dtype=int), face_rise(rows)
    two = (rows["poles"].to_numpy() == 2) & (slot > 0)
    keys = [np.concatenate([part, part[two]]) for part in [*visit, slot]]
    keys[2][len(rows) :] += 2
    lookup = pd.Series(np.concatenate([rise, rise[two]]), pd.MultiIndex.from_arrays(keys))
    lookup = lookup.groupby(level=[0, 1, 2]).mean()

    def at(where: Array) -> Array:
        wanted = np.where(slot > 0, where, -9)
        return lookup.reindex(pd.MultiIndex.from_arrays([*visit, wanted])).to_numpy()

    across = slot + np.where(slot % 2 == 1, 1, -1)
    return {"above": at(slot - 2), "below": at(slot + np.where(two, 4, 2)), "across": at(across)}


def cross_fit(table: pd.DataFrame, target: Array, panel: pd.Series, loss: str) -> Array:
    """Return what gradient boosting expects of each row, learned from the other panels only."""
    from sklearn.ensemble import HistGradientBoostingRegressor
    from sklearn.model_selection import GroupKFold
    from threadpoolctl import threadpool_limits

    fitted = np.empty(target.size)
    names = [name for name in CATEGORIES if name in table]
    folds = GroupKFold(n_splits=min(5, panel.nunique()))
    with threadpool_limits(limits=1):  # threads that wait for a shared core cost ten times more
        for train, held in folds.split(table, target, panel):
            model = HistGradientBoostingRegressor(
                loss=loss, categorical_features=names, random_state=0
            )
            model.fit(table.iloc[train], target[train])
            fitted[held] = model.predict(table.iloc[held])
    return fitted


def boosted(rows: pd.DataFrame, table: pd.DataFrame, target: Array, loss: str) -> Array:
    """Return residuals of boosting [K], and over a boosted spread [1], shape (2, rows).

    Rows without a current or without the target [K] get NaN.
    """
    found = np.full((2, len(rows)), np.nan)
    has = np.isfinite(target) & rows["is_current_known"].to_numpy()
    part, panel = table[has], rows.loc[has, "panel_id"]
    if panel.nunique() < 5:
        return found
    residual = target[has] - cross_fit(part, target[has], panel, loss)
    spread = cross_fit(part, np.abs(residual), panel, "absolute_error")
    found[0, has] = residual
    found[1, has] = residual / np.maximum(spread, LEAST_SCALE_K)
    return found


def boosted_forms(rows: pd.DataFrame, table: pd.DataFrame) -> Forms:
    """Return boosted residuals by loss, in kelvin and scaled; `hotter` with the termination's."""
    forms: Forms = {}
    for name, loss in LOSSES.items():
        face = boosted(rows, table, face_rise(rows), loss)
        end = boosted(rows, table, termination_rise(rows), loss)
        for unit, one, two in zip(("kelvin", "scaled"), face, end, strict=True):
            forms[f"{name}_{unit}"] = one
            forms[f"{name}_{unit}_hotter"] = np.fmax(one, two)
    return forms


def _outlier_table(rows: pd.DataFrame, lines: Forms, *, is_raw: bool) -> pd.DataFrame:
    """Return standardised columns of the readings with a current."""
    table = pd.DataFrame(
        {
            "x": rows["observed_load_fraction"].to_numpy(dtype=float),
            "excess": over_alike(rows),
            **({"rise": face_rise(rows)} if is_raw else {}),
            **({} if is_raw else _residuals(lines)),
        }
    )[rows["is_current_known"].to_numpy()]
    return ((table - table.mean()) / table.std().clip(lower=1e-9)).fillna(0.0)


def _residuals(lines: Forms) -> Forms:
    gap = lines["panel_hotter_scaled"] - lines["panel_scaled"]
    return {
        "kelvin": lines["panel_kelvin"],
        "scaled": lines["panel_scaled"],
        "termination": np.nan_to_num(gap),
    }


def _forest(table: Array) -> Array:
    from sklearn.ensemble import IsolationForest

    model = IsolationForest(n_estimators=200, random_state=0).fit(table)
    return -model.score_samples(table)


def _local(table: Array, neighbours: int) -> Array:
    from sklearn.neighbors import LocalOutlierFactor

    model = LocalOutlierFactor(n_neighbors=min(neighbours, len(table) - 1))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # duplicate values: scores stay usable
        return -model.fit(table).negative_outlier_factor_


def outlier_forms(rows: pd.DataFrame, lines: Forms) -> dict[str, Forms]:
    """Return outlier scores on the raw columns and on residuals of the robust lines.

    `hot` counts an outlier that is cooler than its line as the opposite of one.
    """
    known = rows["is_current_known"].to_numpy()
    sign = np.where(np.nan_to_num(lines["panel_hotter_kelvin"][known]) > 0, 1.0, -1.0)
    found: dict[str, Forms] = {"isolation_forest": {}, "local_outlier": {}}
    for source in ("raw", "residual"):
        table = _outlier_table(rows, lines, is_raw=source == "raw").to_numpy()
        scores = {("isolation_forest", source): _forest(table)}
        for name, count in NEIGHBOURS.items():
            scores["local_outlier", f"{source}_{name}"] = _local(table, count)
        for (kind, form), score in scores.items():
            for name, values in ((form, score), (f"{form}_hot", score * sign)):
                found[kind][name] = np.full(len(rows), np.nan)
                found[kind][name][known] = values
    return found


def learned(rows: pd.DataFrame, lines: Forms) -> dict[str, Forms]:
    """Return the learning detectors; `lines` are the forms of the robust lines."""
    table = features(rows)
    return {
        **outlier_forms(rows, lines),
        "boosted_plain": boosted_forms(rows, table[PLAIN]),
        "boosted_wide": boosted_forms(rows, table),
    }
