"""Readings drawn from a plain law with planted numbers: what the fit must find again.

rise = offset of the class + gain of the class * load^exponent + panel air + scatter; no neighbours,
no cameras, no warm-up. Every number is chosen, none learned from the program.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd

EXPONENT = 1.7
OFFSETS_K = {"standard": 0.0, "afci": 8.0, "gfci": 5.0}
GAINS_K = {"standard": 24.0, "afci": 20.0, "gfci": 28.0}
SLOTS = 16
NOISE_K, NOISE_SHARE = 0.6, 0.08


@dataclass(frozen=True)
class Planted:
    """Rows of panels; `is_faulty` (n,) marks those that run twice as hot for their load."""

    readings: pd.DataFrame
    is_faulty: np.ndarray


def draw(panels: int, seed: int, fault_share: float = 0.0) -> Planted:
    """Return a planted fleet; the same seed draws the same healthy rows whatever the faults."""
    rng, fault_rng = np.random.default_rng(seed), np.random.default_rng(seed + 10_000)
    size = panels * SLOTS
    panel = np.repeat(np.arange(panels), SLOTS)
    kind = rng.choice(list(OFFSETS_K), size, p=[0.6, 0.25, 0.15])
    is_on = rng.random(size) < 0.6
    load = np.where(is_on, rng.uniform(0.05, 1.0, size), 0.0)
    driven = np.vectorize(GAINS_K.get)(kind) * load**EXPONENT
    spread = np.hypot(NOISE_K, NOISE_SHARE * driven)
    healthy = np.vectorize(OFFSETS_K.get)(kind) + driven + rng.uniform(0, 8, panels)[panel]
    is_faulty = fault_rng.random(size) < fault_share
    rise = healthy + spread * rng.standard_normal(size) + np.where(is_faulty, driven, 0.0)
    quarter = panel % 8
    at = pd.to_datetime("2023-01-10") + pd.to_timedelta(91 * quarter, unit="D")
    frame = pd.DataFrame(
        {
            "inspection_id": [f"I{p:05d}" for p in panel],
            "inspected_at": at.strftime("%Y-%m-%d"),
            "panel_id": [f"P{p:05d}" for p in panel],
            "position": np.tile(np.arange(1, SLOTS + 1), panels),
            "device_class": kind,
            "poles": 1,
            "rated_a": 20,
            "ambient_temp": 20.0,
            "device_temp": np.round(20.0 + rise, 3),
            "temp_unit": "degC",
            "current_a": np.round(load * 20, 3),
            "load_minutes": 60,
        }
    )
    return Planted(frame, is_faulty)


def write(fleet: Planted, path: Path) -> Path:
    """Write the readings as a CSV with the canonical headers."""
    fleet.readings.to_csv(path, index=False)
    return path
