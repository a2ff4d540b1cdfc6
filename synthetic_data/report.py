"""What electricians reported of the devices referred by feel, and of a few others."""

from __future__ import annotations

import numpy as np
import pandas as pd

from synthetic_data.fleet import Bools, Floats

EXAMINED_FLAGGED, EXAMINED_OTHERS = 0.7, 0.03
"""Shares that an electrician looked at [1]; chosen."""
FEEL_K = 17.0
"""How much warmer than the cool end of its panel makes half the inspectors refer [K]; chosen."""
NOTICED_K = 2.0
"""Lift at the terminal or face at which half the electricians notice a fault [K]; chosen."""


def is_flagged(truth: pd.DataFrame, rng: np.random.Generator) -> Bools:
    """Return which readings an inspector refers by feel: warm in its panel, whatever the load."""
    warm: Floats = truth["warmth_k"].to_numpy()
    noise = rng.normal(0.0, 2.5, len(warm))
    return warm + noise > FEEL_K


def _verdicts(truth: pd.DataFrame, rng: np.random.Generator) -> np.ndarray:
    lift = truth[["lift_face_k", "lift_termination_k"]].max(axis=1).to_numpy()
    chance = 0.04 + 0.94 / (1.0 + np.exp(-(lift - NOTICED_K) / 0.8))
    kind = truth["truth"].to_numpy()
    is_noticed = (kind != "healthy") & (rng.random(len(lift)) < chance)
    is_overload = truth["is_overload"].to_numpy() & (rng.random(len(lift)) < 0.9)
    is_false = rng.random(len(lift)) < 0.01
    choices = [kind, np.full(len(lift), "overload"), np.full(len(lift), "loose_connection")]
    return np.select([is_noticed, is_overload, is_false], choices, "nothing_found")


def find(readings: pd.DataFrame, truth: pd.DataFrame, rng: np.random.Generator) -> pd.DataFrame:
    """Return the findings, one row an examined device, in order of the readings.

    About 70 % of what was referred is examined and 3 % of the rest; small faults are overlooked
    and one healthy device in a hundred is called loose.
    """
    share = np.where(is_flagged(truth, rng), EXAMINED_FLAGGED, EXAMINED_OTHERS)
    verdict = _verdicts(truth, rng)
    days = rng.integers(1, 28, len(truth))
    is_licensed = rng.random(len(truth)) < 0.93
    is_examined = rng.random(len(truth)) < share
    found_at = readings["inspected_at"].dt.floor("D") + pd.to_timedelta(days, unit="D")
    table = {
        "inspection_id": readings["inspection_id"],
        "panel_id": readings["panel_id"],
        "position": readings["position"],
        "found_at": found_at + pd.Timedelta(hours=10),
        "finding": verdict,
        "examined_by_licensed": np.where(is_licensed, "yes", "no"),
        "note": np.where(verdict == "nothing_found", "", "made good"),
    }
    return pd.DataFrame(table)[is_examined].reset_index(drop=True)
