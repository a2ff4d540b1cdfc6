"""Reference detectors that a firm could have without this software, for comparison only.

All see the readings as noted, before clerical errors: a favour to them.
"""

from __future__ import annotations

import warnings

import numpy as np
import pandas as pd
from numpy.typing import NDArray

Array = NDArray[np.float64]
LEAST_FRACTION = 0.05  # chosen: keeps the ratio to the square finite
GATE = 0.4  # NFPA 70B-2023, 7.4.5: inspect at no less than 40 % of normal load


def fixed_rise(rows: pd.DataFrame) -> Array:
    """Return the rise over ambient [K]."""
    return rows["observed_rise_k"].to_numpy(dtype=float)


def _grades(kelvin: Array, edges: tuple[float, ...], grades: tuple[int, ...]) -> Array:
    return np.asarray(grades)[np.searchsorted(edges, kelvin, side="left")]


def action_ladder(rows: pd.DataFrame) -> Array:
    """Return the higher of the two grades of ANSI/NETA ATS/MTS, Table 100.18; ties by excess.

    Similar components are the devices of the same class in the panel visit, or all where the class
    has fewer than three.
    """
    rise = rows["observed_rise_k"]
    visit = [rows["inspection_id"], rows["panel_id"]]
    alike = rise.groupby([*visit, rows["device_class"]])
    every = rise.groupby(visit).transform("median")
    median = alike.transform("median").where(alike.transform("size") >= 3, every)
    excess = (rise - median).to_numpy()
    over_air = _grades(rise.to_numpy(), (1.0, 10.0, 20.0, 40.0), (0, 1, 2, 3, 4))
    over_alike = _grades(excess, (1.0, 3.0, 15.0), (0, 1, 2, 4))
    return np.maximum(over_air, over_alike) + 0.1 / (1.0 + np.exp(-excess / 10.0))


def square_ratio(rows: pd.DataFrame) -> Array:
    """Return rise over load fraction squared [K]; unknown current gives NaN."""
    fraction = rows["observed_load_fraction"].clip(lower=LEAST_FRACTION)
    return (rows["observed_rise_k"] / fraction**2).to_numpy(dtype=float)


def gated_square_ratio(rows: pd.DataFrame) -> Array:
    """Return the square ratio at 40 % load and more, nothing below."""
    loaded = rows["observed_load_fraction"] >= GATE
    return np.where(loaded, square_ratio(rows), np.where(rows["is_current_known"], 0.0, np.nan))


def robust_lines(rows: pd.DataFrame) -> Array:
    """Return residuals of a robust line rise ~ x² per class, in units of its scale."""
    import statsmodels.api as sm

    score = np.full(len(rows), np.nan)
    known = rows["is_current_known"].to_numpy()
    for name in rows["device_class"].unique():
        here = np.flatnonzero(known & (rows["device_class"] == name).to_numpy())
        if here.size < 10:
            continue
        part = rows.iloc[here]
        square = np.column_stack([np.ones(here.size), part["observed_load_fraction"] ** 2])
        square = square[:, [True, bool(np.ptp(square[:, 1]) > 0)]]  # a class may carry no load
        fit = sm.RLM(part["observed_rise_k"].to_numpy(), square).fit()
        score[here] = fit.resid / fit.scale
    return score


def _features(rows: pd.DataFrame) -> pd.DataFrame:
    """Return everything noted about a reading, its panel and its neighbours."""
    visit = [rows["inspection_id"], rows["panel_id"]]
    rise = rows["observed_rise_k"]
    lookup = rise.set_axis(pd.MultiIndex.from_arrays([*visit, rows["position"]]))
    reach = np.where((rows["poles"] == 2) & (rows["position"] > 0), 4, 2)

    def at(slots: Array) -> Array:
        keys = pd.MultiIndex.from_arrays([*visit, slots])
        return lookup.reindex(keys).to_numpy()

    position = rows["position"].to_numpy()
    above = np.where(np.isnan(at(position - 2)), at(position - 4), at(position - 2))
    return pd.DataFrame(
        {
            "kind": rows["device_class"].astype("category").cat.codes,
            "x": rows["observed_load_fraction"],
            "rated": rows["rated_a"],
            "poles": rows["poles"],
            "minutes": rows["noted_minutes"],
            "above": above,
            "below": at(position + reach),
            "panel_median": rise.groupby(visit).transform("median"),
            "panel_low": _low_of(rise.groupby(visit)),
            "camera": rows["camera_id"].astype("category").cat.codes,
        },
        index=rows.index,
    )


def _low_of(groups: pd.api.typing.SeriesGroupBy) -> pd.Series:
    """Return the fifth of a panel's rises from below, for each row."""
    return groups.transform("quantile", 0.2)


PLAIN = ["kind", "x", "rated", "poles", "minutes"]


def _cross_fit(features: pd.DataFrame, target: Array, panel: pd.Series) -> Array:
    from sklearn.ensemble import HistGradientBoostingRegressor
    from sklearn.model_selection import GroupKFold
    from threadpoolctl import threadpool_limits

    fitted = np.empty(target.size)
    categories = [name for name in ("kind", "camera") if name in features]
    folds = GroupKFold(n_splits=min(5, panel.nunique()))
    with threadpool_limits(limits=1):  # threads that wait for a shared core cost ten times more
        for train, held in folds.split(features, target, panel):
            model = HistGradientBoostingRegressor(
                loss="absolute_error", categorical_features=categories, random_state=0
            )
            model.fit(features.iloc[train], target[train])
            fitted[held] = model.predict(features.iloc[held])
    return fitted


def boosted(rows: pd.DataFrame, features: pd.DataFrame, *, scaled: bool) -> Array:
    """Return residuals [K] of gradient boosting, cross-fitted by panel, known currents only.

    `features` are the columns it may use; `scaled` divides by a boosted spread.
    """
    known = rows["is_current_known"].to_numpy()
    part = rows[known]
    features = features[known]
    rise = part["observed_rise_k"].to_numpy(dtype=float)
    residual = rise - _cross_fit(features, rise, part["panel_id"])
    if scaled:
        spread = _cross_fit(features, np.abs(residual), part["panel_id"])
        residual = residual / np.maximum(spread, 0.1)
    score = np.full(len(rows), np.nan)
    score[known] = residual
    return score


def _outlier_table(rows: pd.DataFrame, features: pd.DataFrame) -> pd.DataFrame:
    excess = rows["observed_rise_k"] - features["panel_median"]
    kinds = pd.get_dummies(rows["device_class"], dtype=float)
    table = pd.DataFrame({"rise": rows["observed_rise_k"], "x": features["x"], "excess": excess})
    table = (table - table.mean()) / table.std()
    return pd.concat([table, kinds], axis=1)[rows["is_current_known"]]


def isolation_forest(rows: pd.DataFrame, features: pd.DataFrame) -> Array:
    """Return the isolation score of rise, load fraction, excess over the panel, class."""
    from sklearn.ensemble import IsolationForest

    table = _outlier_table(rows, features)
    score = np.full(len(rows), np.nan)
    model = IsolationForest(n_estimators=200, random_state=0).fit(table.to_numpy())
    score[rows["is_current_known"]] = -model.score_samples(table.to_numpy())
    return score


def local_outlier(rows: pd.DataFrame, features: pd.DataFrame) -> Array:
    """Return the local outlier factor of the same table, 35 neighbours."""
    from sklearn.neighbors import LocalOutlierFactor

    table = _outlier_table(rows, features).to_numpy()
    score = np.full(len(rows), np.nan)
    model = LocalOutlierFactor(n_neighbors=min(35, len(table) - 1))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # duplicate values: scores stay usable
        model.fit(table)
    score[rows["is_current_known"]] = -model.negative_outlier_factor_
    return score


def all_references(rows: pd.DataFrame) -> dict[str, Array]:
    """Return the scores of every reference detector, one a row of the truth."""
    wide = _features(rows)
    return {
        "fixed_rise": fixed_rise(rows),
        "action_ladder": action_ladder(rows),
        "square_ratio": square_ratio(rows),
        "square_ratio_gated": gated_square_ratio(rows),
        "robust_lines": robust_lines(rows),
        "isolation_forest": isolation_forest(rows, wide),
        "local_outlier": local_outlier(rows, wide),
        "boosted_plain": boosted(rows, wide[PLAIN], scaled=False),
        "boosted_wide": boosted(rows, wide, scaled=False),
        "boosted_wide_scaled": boosted(rows, wide, scaled=True),
    }
