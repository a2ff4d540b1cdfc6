"""Minutes under load: what share of the settled rise a device shows by then, and how unlike.

Some of a panel's loads were on before the inspection, others came on with it. A device of the
former kind shows its whole rise at once, one of the latter 1 - exp(-t / tau) of it. Their mix gives
the usual factor, 1 - late exp(-t / tau), and spreads the devices about it by
sqrt(late (1 - late)) exp(-t / tau). Each band of minutes is pooled towards that.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from analytics.baseline.state import CHANNELS, Array

MINUTE_BANDS = 11
SETTLED_BAND = 8
"""Band from which a device counts as settled: forty minutes, two time constants of a body;
chosen: the rest of a warm-up is then a seventh."""
LEAST_SETTLED = 0.1
"""Share of the weight that settled readings must hold to stand for a settled device [1]; chosen."""
BODY_MINUTES = 20.0
"""Time constant of a device's body [min]; 16 to 25 min, derived from its heat capacity ± 30 %."""
BAND_MINUTES = np.array([25.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 36.0, 45.0, 60.0, 90.0])
"""Middle of each band [min]; not noted counts as 25, chosen: what a visit takes."""
LATE_SHARE, LATE_SHARE_SD = 0.5, 0.2
"""Share of the load that came on with the inspection [1]; chosen: unknown, hardly nil or all."""
BAND_ROWS = 50.0
"""Rows that the usual spread counts for in each band of minutes [1]; chosen."""
LEAST_SHARE = 0.08
"""Lower bound of the settled spread a rise [1] where it divides; chosen."""

LEFT: Array = np.exp(-BAND_MINUTES / BODY_MINUTES)
"""What is still to come of a rise in each band [1], (11,)."""
SETTLED_LEFT = float(LEFT[SETTLED_BAND:].mean())


def usual_factor(late: float) -> Array:
    """Return the usual factor of each band [1], (11,), 1 for settled devices."""
    factor: Array = (1.0 - late * LEFT) / (1.0 - late * SETTLED_LEFT)
    return factor


def usual_spread(late: float, noise_share: float) -> Array:
    """Return how much wider the load-driven rise of each band scatters [1], (11,).

    Arguments: share that came on late [1]; settled spread of a rise, as a share of it [1].
    """
    apart = (LEFT / (1.0 - late * LEFT)) ** 2
    square = late * (1.0 - late) * (apart - apart[SETTLED_BAND:].mean())
    factor: Array = np.sqrt(np.maximum(1.0 + square / max(noise_share, LEAST_SHARE) ** 2, 0.25))
    return factor


def late_share(factor: Array, weight: Array, variance: float) -> float:
    """Return the share that came on late [1], given each band's factor and its precision.

    Weighted least squares on the bands, the prior beside them; `variance` between band and curve.
    """
    precision = weight / (1.0 + weight * variance)
    lacking = LEFT - SETTLED_LEFT * factor  # since a settled device has factor 1
    square = precision @ lacking**2 + 1.0 / LATE_SHARE_SD**2
    right = precision @ (lacking * (1.0 - factor)) + LATE_SHARE / LATE_SHARE_SD**2
    return float(np.clip(right / square, 0.0, 1.0))


def update_factors(
    factor: Array, late: Array, rows: list[tuple[Any, ...]], variance: float, *, is_held: bool
) -> Array:
    """Move the factors (channel, band) and the late shares in place; return each channel's gauge.

    Arguments: rows of `fitting.minute_sum`; variance of a band about its curve [1]. The gauge is
    what the settled bands have in common, which the gains are to carry. Where the variance is
    held, the bands have no curve of their own and the usual factor is 1.
    """
    weight, own = np.zeros_like(factor), factor.copy()
    for channel, band, _, w_ll, w_le in rows:
        at = (CHANNELS.index(channel), int(band))
        weight[at] = w_ll / factor[at] ** 2  # the rise is counted with its factor
        own[at] *= 1.0 + w_le / w_ll if w_ll > 0 else 1.0
    gauge = np.ones(len(CHANNELS))
    for c in range(len(CHANNELS)):
        if weight[c].sum() <= 0:
            continue
        late[c] = 0.0 if is_held else late_share(own[c], weight[c], variance)
        usual = usual_factor(late[c])
        pooled = (weight[c] * own[c] + usual / variance) / (weight[c] + 1.0 / variance)
        factor[c] = np.clip(pooled, 0.1, 5.0)
        gauge[c] = _settled(factor[c], usual, weight[c])
        factor[c] = np.clip(factor[c] / gauge[c], 0.1, 5.0)
    return gauge


def _settled(factor: Array, usual: Array, weight: Array) -> float:
    """Return how far the settled bands lie above their curve.

    Where hardly anybody waited so long, all bands stand for them.
    """
    settled = np.where(np.arange(MINUTE_BANDS) >= SETTLED_BAND, weight, 0.0)
    chosen = settled if settled.sum() > LEAST_SETTLED * weight.sum() else weight
    return float((chosen @ factor) / (chosen @ usual))


def update_spreads(spread: Array, late: Array, noise_share: Array, rows: list[Any]) -> None:
    """Move the spread factors (channel, band) in place by what each band's residuals show.

    Arguments: late share and settled spread of each channel [1], (3,); rows of
    `fitting.minute_spread`, whose ratio is 1 where residuals scatter as expected. What all bands
    have in common is the groups' own spread, so only what a band has beside the others counts.
    """
    for c, channel in enumerate(CHANNELS):
        count, ratio = np.zeros(MINUTE_BANDS), np.zeros(MINUTE_BANDS)
        for name, band, readings, found in rows:
            if name == channel and found > 0:
                count[band], ratio[band] = readings, np.log(found)
        if count.sum() <= 0:
            continue
        usual = np.log(usual_spread(late[c], noise_share[c]))
        own = np.log(spread[c]) + ratio - count @ ratio / count.sum()
        moved = (count * own + BAND_ROWS * usual) / (count + BAND_ROWS)
        settled = slice(SETTLED_BAND, None)
        held = count[settled] + BAND_ROWS
        gauge = held @ (moved - usual)[settled] / held.sum()
        spread[c] = np.clip(np.exp(moved - gauge), 0.4, 8.0)
