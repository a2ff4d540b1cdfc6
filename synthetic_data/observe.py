"""What camera, thermometer and clamp make of the true temperatures and currents."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from synthetic_data.fleet import CLASSES, Bools, Floats
from synthetic_data.physics import KELVIN
from synthetic_data.spec import Scenario
from synthetic_data.visits import Air, Visits, inspector_names

SECOND_RADIATION_UM_K = 14387.77  # hc/k, CODATA 2018
BAND_UM = 10.0
"""Middle of the long-wave band that such cameras see, 8–14 µm."""
CAMERA_EMISSIVITY = 0.95
"""What a camera is set to when nobody thinks about it; chosen."""
NOISE_K = 0.35
"""Camera noise, spot placement and focus [K]; chosen."""
GAIN_SD = 0.006
"""Spread of the cameras' gain errors [1]; chosen, inside the usual ±2 % class."""
CLAMP_SHARE, CLAMP_DIGITS, CLAMP_STEP_A = 0.02, 5.0, 0.1
"""Clamp error ±(2 % + 5 digits of 0.1 A): a usual data-sheet class."""


def camera_names(scenario: Scenario) -> list[str]:
    """Return the cameras' keys, one an inspector, as “cam-north-1”."""
    return [f"cam-{name}" for name in inspector_names(scenario)]


def camera_offsets(scenario: Scenario, rng: np.random.Generator) -> Floats:
    """Draw the cameras' offsets [camera, quarter] in [K], planted shifts included."""
    names, quarters = camera_names(scenario), len(scenario.quarters)
    own = rng.normal(0.0, scenario.camera_sd_k, (len(names), 1))
    wander = np.cumsum(rng.normal(0.0, 0.12, (len(names), quarters)), axis=1)
    result = np.clip(own + wander, -2.0, 2.0)
    for shift in scenario.planted.camera_shifts:
        first = scenario.quarter_index(shift.quarter, 0)
        last = scenario.quarter_index(shift.until, quarters - 1)
        result[names.index(shift.camera), first : last + 1] += shift.shift_k
    return result


def _radiance(degc: Floats) -> Floats:
    """Return Planck's spectral radiance at `BAND_UM`, in arbitrary units, of a black surface."""
    result: Floats = 1.0 / np.expm1(SECOND_RADIATION_UM_K / BAND_UM / (degc + KELVIN))
    return result


def _seen_degc(radiance: Floats) -> Floats:
    result: Floats = SECOND_RADIATION_UM_K / BAND_UM / np.log1p(1.0 / radiance) - KELVIN
    return result


@dataclass(frozen=True)
class Optics:
    """How a visit's camera looks at its surfaces [visit]; `set_to` 1 means apparent values."""

    offset_k: Floats
    gain: Floats
    set_to: Floats
    reflected_degc: Floats
    assumed_degc: Floats


def optics(
    scenario: Scenario, visits: Visits, reflected_degc: Floats, rng: np.random.Generator
) -> Optics:
    """Draw offsets and settings of the cameras at each visit."""
    offsets = camera_offsets(scenario, rng)
    gain = 1.0 + rng.normal(0.0, GAIN_SD, len(offsets))
    is_apparent = np.array([o.has_emissivity for o in scenario.offices])[visits.office]
    return Optics(
        offset_k=offsets[visits.camera, visits.quarter],
        gain=gain[visits.camera],
        set_to=np.where(is_apparent, 1.0, CAMERA_EMISSIVITY),
        reflected_degc=reflected_degc,
        assumed_degc=reflected_degc + rng.normal(0.0, 1.0, len(visits)),
    )


def look(
    true_degc: Floats, emissivity: Floats, at: Optics, noise_k: float, rng: np.random.Generator
) -> Floats:
    """Return what the camera shows [°C] for surfaces of these true temperatures [°C].

    One narrow band by Planck's law, the camera's own correction with its setting, gain, offset
    and noise. Args: arrays [reading], `at` spread over the readings.
    """
    arriving = emissivity * _radiance(true_degc) + (1.0 - emissivity) * _radiance(at.reflected_degc)
    corrected = (arriving - (1.0 - at.set_to) * _radiance(at.assumed_degc)) / at.set_to
    shown = _seen_degc(np.maximum(corrected, 1e-6))
    result: Floats = (
        25.0 + at.gain * (shown - 25.0) + at.offset_k + rng.normal(0.0, noise_k, len(true_degc))
    )
    return result


def clamp_a(true_a: Floats, rng: np.random.Generator) -> Floats:
    """Return what a clamp shows [A], to its step; the data-sheet limits count as two sigma."""
    limit = CLAMP_SHARE * true_a + CLAMP_DIGITS * CLAMP_STEP_A
    shown = true_a + rng.normal(0.0, 0.5, len(true_a)) * limit
    shown = np.where(true_a < 0.3, true_a, shown)  # hardly anything in the jaws: the zero holds
    positive: Floats = np.maximum(shown, 0.0)
    return positive.round(1)


def warmth(face_degc: Floats, visit: pd.Series, device_class: pd.Series) -> Floats:
    """Return how much warmer a device looks than the cool end of its panel [K].

    The electronic ones are known to be warm, so part of it is forgiven them.
    """
    faces = pd.Series(face_degc).groupby(visit.to_numpy())
    floor = visit.map(faces.quantile(0.25))
    is_plain = device_class.isin(["standard", "main"]).to_numpy()
    result: Floats = face_degc - floor.to_numpy() - np.where(is_plain, 0.0, 4.0)
    return result


def is_clamped(
    warmth_k: Floats, is_hasty: Bools, is_main: Bools, rng: np.random.Generator
) -> Bools:
    """Choose the devices that get clamped: what looks warm, the main often, and a random few."""
    chance = 0.08 + 0.88 / (1.0 + np.exp(-(warmth_k - 3.5) / 1.0))
    chance = np.where(is_main, np.maximum(chance, 0.5), chance)
    chance = np.where(is_hasty, 0.3 * chance, chance)
    result: Bools = rng.random(len(chance)) < chance
    return result


def class_names(index: np.ndarray) -> np.ndarray:
    """Return the canonical class names of these indices."""
    names: np.ndarray = np.array(CLASSES)[index]
    return names


def _leg_a(
    truth: pd.DataFrame, frame: pd.DataFrame, rng: np.random.Generator
) -> tuple[Floats, Bools]:
    """Return the current of the leg that was clamped [A], and where that is only one of two."""
    is_one_leg = (frame["poles"].to_numpy() == 2) & (rng.random(len(truth)) < 0.25)
    is_other = is_one_leg & (rng.random(len(truth)) < 0.5)
    larger, other = truth["true_current_a"].to_numpy(), truth["true_other_leg_a"].to_numpy()
    return np.where(is_other, other, larger), is_one_leg


def _surfaces(truth: pd.DataFrame, at: Optics, rng: np.random.Generator) -> dict[str, Floats]:
    """Return what the camera shows of face, terminal and wire, for every device [°C]."""
    count = len(truth)
    case = np.clip(rng.normal(0.925, 0.012, count), 0.85, 0.98)
    tape = np.clip(rng.normal(0.93, 0.02, count), 0.8, 0.98)
    return {
        "device_temp": look(truth["true_face_degc"].to_numpy(), case, at, NOISE_K, rng),
        "termination_temp": look(truth["true_termination_degc"].to_numpy(), tape, at, 0.8, rng),
        "conductor_temp": look(truth["true_conductor_degc"].to_numpy(), tape, at, 0.6, rng),
        "true_emissivity": case,
    }


def _some(values: Floats, is_kept: Bools) -> Floats:
    return np.where(is_kept, values, np.nan)


def _close_looks(
    seen: dict[str, Floats], is_close: Bools, rng: np.random.Generator
) -> dict[str, Floats]:
    """Return terminal and wire, read on some of the devices that were looked at closely."""
    shares = {"termination_temp": 0.45, "conductor_temp": 0.3}
    count = len(is_close)
    return {n: _some(seen[n], is_close & (rng.random(count) < p)) for n, p in shares.items()}


def _noted_minutes(visits: Visits, rng: np.random.Generator) -> Floats:
    """Return the minutes under load as noted, in fives from ten on; now and then not at all."""
    has_noted = rng.random(len(visits)) < np.where(visits.is_hasty, 0.4, 0.88)
    fives = 5.0 * np.round(visits.minutes / 5.0)
    return _some(np.where(visits.minutes < 10.0, np.round(visits.minutes), fives), has_noted)


def measure(
    scenario: Scenario, visits: Visits, air: Air, frame: pd.DataFrame, truth: pd.DataFrame,
    rng: np.random.Generator,
) -> tuple[pd.DataFrame, pd.DataFrame]:  # fmt: skip
    """Return (measured, hidden): what was written down of each reading, and what was true of it.

    Args: frame and truth, a row a reading; `truth` says which visit each belongs to.
    """
    visit = truth["visit"].to_numpy()
    at = optics(scenario, visits, air.reflected_degc, rng)
    spread = Optics(**{name: values[visit] for name, values in vars(at).items()})
    seen = _surfaces(truth, spread, rng)
    warm = warmth(seen["device_temp"], truth["visit"], frame["device_class"])
    is_hasty = visits.is_hasty[visit]
    is_main = (frame["device_class"] == "main").to_numpy()
    clamped = is_clamped(warm, is_hasty, is_main, rng)
    leg, is_one_leg = _leg_a(truth, frame, rng)
    is_noted = (spread.set_to == 1.0) & ~is_hasty
    minutes = _noted_minutes(visits, rng)[visit]
    measured = pd.DataFrame(
        {
            "ambient_temp": air.noted_degc[visit],
            "device_temp": seen["device_temp"],
            **_close_looks(seen, clamped & (warm > 6.0), rng),
            "temp_unit": "degC",
            "current_a": _some(clamp_a(leg, rng), clamped),
            "emissivity": _some(np.full(len(visit), 0.93), is_noted),
            "reflected_temp": _some(np.round(spread.assumed_degc, 1), is_noted),
            "load_minutes": minutes,
            "note": np.where(is_one_leg & clamped, "one leg clamped", ""),
        }
    )
    hidden = {
        "true_emissivity": seen["true_emissivity"],
        "camera_offset_k": spread.offset_k,
        "is_one_leg": is_one_leg,
        "is_hasty": is_hasty,
        "warmth_k": warm,
    }
    return measured, pd.DataFrame(hidden)
