"""Reference detectors that a firm could have without this software, for comparison only.

Each kind comes in several forms; a comparison shows the form that did best on the very fleets
compared, a favour to it. All see the readings as noted, before clerical errors: another. Where the
termination was read too, a form called `hotter` looks at the larger of the two. A reading without
a current ranks last where the score needs one; that did better than a middle in its place.
"""

from __future__ import annotations

import warnings

import numpy as np
import pandas as pd
from numpy.typing import NDArray

Array = NDArray[np.float64]
Forms = dict[str, Array]
FIXED_RISE_K = 70.0 / 1.8
"""A rise of 70 °F is where worry starts: common practice, no published source."""
AIR_EDGES_K = (1.0, 10.0, 20.0, 40.0)
ALIKE_EDGES_K = (1.0, 3.0, 15.0)
"""Bands of ANSI/NETA ATS/MTS, Table 100.18; edges between whole degrees are our own choice."""
LEAST_FRACTION = 0.05  # chosen: keeps the ratio to the square finite
GATE = 0.4  # NFPA 70B-2023, 7.4.5: inspect at no less than 40 % of normal load
LEAST_SCALE_K = 0.3
"""Lower bound of a spread [K]; chosen: no camera repeats itself better."""
EXPONENTS = np.arange(1.0, 2.41, 0.1)


def noted(rows: pd.DataFrame, name: str) -> pd.Series:
    """Return a text column, or blanks where the truth has none."""
    return rows[name].astype(str) if name in rows else pd.Series("", index=rows.index)


def face_rise(rows: pd.DataFrame) -> Array:
    """Return the rise of the device's face over ambient [K]."""
    return rows["observed_rise_k"].to_numpy(dtype=float)


def termination_rise(rows: pd.DataFrame) -> Array:
    """Return the termination's rise [K], NaN where it was not read."""
    if "observed_termination_rise_k" not in rows:
        return np.full(len(rows), np.nan)
    return rows["observed_termination_rise_k"].to_numpy(dtype=float)


def hotter_rise(rows: pd.DataFrame) -> Array:
    """Return the larger of face's and termination's rise [K]."""
    return np.fmax(face_rise(rows), termination_rise(rows))


def other_quantile(rows: pd.DataFrame, values: Array, share: float) -> Array:
    """Return that quantile of the other devices of the panel visit, for each row."""

    def one(group: pd.Series) -> pd.Series:
        given = group.to_numpy()
        found = [np.quantile(np.delete(given, i), share) for i in range(given.size)]
        return pd.Series(found if given.size > 1 else np.nan, index=group.index)

    series = pd.Series(values, index=rows.index)
    visits = series.groupby([rows["inspection_id"], rows["panel_id"]], group_keys=False)
    return visits.apply(one).reindex(rows.index).to_numpy(dtype=float)


def fixed_rise(rows: pd.DataFrame) -> Forms:
    """Return the rise over ambient [K]."""
    return {"face": face_rise(rows), "hotter": hotter_rise(rows)}


def over_alike(rows: pd.DataFrame) -> Array:
    """Return the rise over the middle of similar components [K].

    Similar are the devices of the same class in the panel visit, or all where the class has fewer
    than three.
    """
    rise = rows["observed_rise_k"]
    visit = [rows["inspection_id"], rows["panel_id"]]
    alike = rise.groupby([*visit, rows["device_class"]])
    every = rise.groupby(visit).transform("median")
    middle = alike.transform("median").where(alike.transform("size") >= 3, every)
    return (rise - middle).to_numpy(dtype=float)


def action_bands(rows: pd.DataFrame) -> Forms:
    """Return the action band of ANSI/NETA ATS/MTS, Table 100.18.

    `bands` are those over ambient air with their ties; `tie_by_excess` orders a band by the rise
    over similar components; `both_tables` takes the higher of the two tables' grades.
    """
    excess = over_alike(rows)
    order = 0.5 / (1.0 + np.exp(-excess / 10.0))
    air = np.searchsorted(AIR_EDGES_K, hotter_rise(rows)).astype(float)
    alike = np.asarray((0, 1, 2, 4))[np.searchsorted(ALIKE_EDGES_K, excess)]
    face = np.searchsorted(AIR_EDGES_K, face_rise(rows))
    return {
        "bands": air,
        "tie_by_excess": air + order,
        "face_tie_by_excess": face + order,
        "both_tables": np.maximum(face, alike) + order,
    }


def square_ratio(rows: pd.DataFrame) -> Forms:
    """Return the rise at rating by the square of the current [K]; unknown current gives NaN.

    `gated` says nothing below 40 % of rating; `floored` divides by no less than 60 % of it;
    `panel` counts the rise from the cool end of the panel's other devices.
    """
    x = rows["observed_load_fraction"].where(rows["is_current_known"]).to_numpy(dtype=float)
    cool = other_quantile(rows, face_rise(rows), 0.2)
    rises = {"": face_rise(rows), "_hotter": hotter_rise(rows), "_panel": face_rise(rows) - cool}
    forms: Forms = {"plain": rises[""] / np.maximum(x, LEAST_FRACTION) ** 2}
    for name, rise in rises.items():
        square = rise / np.maximum(x, GATE) ** 2
        forms[f"gated{name}"] = np.where(x < GATE, -1e3, square)
        forms[f"floored{name}"] = rise / np.maximum(x, 0.6) ** 2
    return forms


def robust_lines(rows: pd.DataFrame) -> Forms:
    """Return residuals of a robust line rise ~ load^n for each class and pole count.

    statsmodels RLM with Huber's weights; n from 1.0 to 2.4 by the smallest scale, class by class.
    In kelvin or in units of the scale; `panel` adds the cool end of the panel's other devices as a
    regressor; `hotter` is the larger residual of face and termination.
    """
    cool = other_quantile(rows, face_rise(rows), 0.2)
    none = np.zeros(len(rows))
    face, panel = _lines(rows, face_rise(rows), none), _lines(rows, face_rise(rows), cool)
    end = _lines(rows, termination_rise(rows), cool)
    return {
        "kelvin": face[0],
        "scaled": face[1],
        "panel_kelvin": panel[0],
        "panel_scaled": panel[1],
        "panel_hotter_kelvin": np.fmax(panel[0], end[0]),
        "panel_hotter_scaled": np.fmax(panel[1], end[1]),
    }


def _lines(rows: pd.DataFrame, rise: Array, cool: Array) -> Array:
    """Return residuals [K] and over the scale [1], shape (2, rows)."""
    found = np.full((2, len(rows)), np.nan)
    usable = rows["is_current_known"].to_numpy() & np.isfinite(rise) & np.isfinite(cool)
    kinds = rows["device_class"].astype(str) + rows["poles"].astype(str)
    x = rows["observed_load_fraction"].to_numpy(dtype=float)
    for kind in sorted(set(kinds)):
        here = np.flatnonzero(usable & (kinds == kind).to_numpy())
        if here.size >= 10:
            found[:, here] = _best_line(rise[here], x[here], cool[here])
    return found


def _best_line(rise: Array, x: Array, cool: Array) -> tuple[Array, Array]:
    import statsmodels.api as sm

    fits = []
    for exponent in EXPONENTS:
        columns = [np.ones_like(x), x**exponent, cool]
        kept = [c for i, c in enumerate(columns) if i == 0 or np.ptp(c) > 0]
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # a class of few rows may leave no scale
            fits.append(sm.RLM(rise, np.column_stack(kept)).fit())
    best = min(fits, key=lambda fit: fit.scale)
    return best.resid, best.resid / max(best.scale, LEAST_SCALE_K)


def every_form(rows: pd.DataFrame) -> dict[str, Forms]:
    """Return the scores of every reference detector in every form, one a row of the truth."""
    from tests.guarantees.scoring_learned import learned

    lines = robust_lines(rows)
    return {
        "fixed_rise": fixed_rise(rows),
        "action_bands": action_bands(rows),
        "square_ratio": square_ratio(rows),
        "robust_lines": lines,
        **learned(rows, lines),
    }


def all_references(rows: pd.DataFrame) -> Forms:
    """Return every form of every reference detector as `kind.form`."""
    found = every_form(rows)
    return {f"{kind}.{form}": s for kind, forms in found.items() for form, s in forms.items()}
