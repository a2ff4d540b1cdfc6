"""Shelter: how much warmer a device runs where fewer neighbours carry its heat away.

In the balance of a device's heat with what touches it, power = own · rise + sum of contact ·
(rise - neighbour's rise), a neighbour counts contact / (own + contacts) per kelvin, which is its
slope. So a device that lacks contacts whose slopes add up to m runs 1 / (1 - m) times as warm. Each
way of being hemmed in is pooled towards that.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from analytics.baseline.state import CHANNELS, COEFFICIENTS, POLE_FAMILIES, SHELTER_LEVELS, Array

SLOPE_SHARE = 0.8
"""What a contact counts of its slope as fitted [1]; chosen: where hundreds of panels let the levels
speak for themselves (`baseline.shelter_factor`), they lie below what whole slopes would say."""
MOST_MISSING = 0.5
"""Upper bound of what missing contacts add up to [1]; chosen: no device runs twice as warm."""

_LEVEL = np.arange(SHELTER_LEVELS)
OPEN_ENDS: Array = np.asarray(_LEVEL % 3, dtype=np.float64)
"""Open ends of the column at each level, (12,); see `fitting.shelter_level`."""
OPEN_BESIDE: Array = np.asarray(_LEVEL // 3 % 2, dtype=np.float64)
"""Whether the side is open at each level, (12,)."""
UNDER_MAIN: Array = np.asarray(_LEVEL // 6, dtype=np.float64)
"""Whether the main lies above at each level, (12,)."""


def usual_factor(neighbour: float, across: float, main: float, *, share: float = 1.0) -> Array:
    """Return the usual factor of each level [1], (12,), given the slopes of what touches [1].

    `share` of each slope counts [1].
    """
    missing = OPEN_ENDS * neighbour + OPEN_BESIDE * across + UNDER_MAIN * (neighbour - main)
    factor: Array = 1.0 / (1.0 - np.clip(share * missing, 0.0, MOST_MISSING))
    return factor


def usual_factors(
    channel: list[str], device_class: list[str], is_multi_pole: list[bool], coefficients: Array
) -> Array:
    """Return the usual factors of all channels and pole families, (3 · 3 · 12,).

    They stand in the order of `fitting.shelter_level`: channels and families by their names. A
    device of two poles that is open beside lacks two contacts there.

    Arguments: the groups' channels, classes, poles (count,) and coefficients (count, 6).
    """
    slope = [COEFFICIENTS.index(f"{name}_slope") for name in ("neighbour", "across", "main")]
    family = [
        "main" if name == "main" else "two_pole" if poles else "one_pole"
        for name, poles in zip(device_class, is_multi_pole, strict=True)
    ]
    found = []
    for one in sorted(CHANNELS):
        for kind in sorted(POLE_FAMILIES):
            mine = [g for g, c in enumerate(channel) if c == one and family[g] == kind]
            slopes = coefficients[np.ix_(mine, slope)].mean(axis=0) if mine else np.zeros(3)
            slopes = slopes * np.array([1.0, 2.0 if kind == "two_pole" else 1.0, 1.0])
            found.append(usual_factor(*slopes, share=SLOPE_SHARE))
    return np.concatenate(found)


def update(factor: Array, usual: Array, rows: list[tuple[Any, ...]], variance: float) -> None:
    """Move the factors in place; level 0 of a family stays 1, the gains carry it.

    Arguments: usual factors, the rows' own beside them with `variance` about them [1]; rows of
    `fitting.shelter_sum`. Levels without rows take the usual factor.
    """
    seen = np.arange(len(factor)) % SHELTER_LEVELS == 0
    for shelter, _, w_bb, w_be in rows:
        at = int(shelter) - 1
        if seen[at]:
            continue
        right = w_be + w_bb * factor[at] + usual[at] / variance
        factor[at], seen[at] = np.clip(right / (w_bb + 1.0 / variance), 0.1, 5.0), True
    factor[:] = np.where(seen, factor, usual)
