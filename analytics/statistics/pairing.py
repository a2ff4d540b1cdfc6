"""Where faults sit: how much of a terminal's excess heat the face shows, and the reverse."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

LEAST_Z = 3.0
"""Residual from which a channel stands out, healthy spreads [1]; chosen."""
MOST_ROWS = 4000
"""Rows that the shares are learned from [1]; chosen: more would not change a digit that matters."""
FACE_SHARES: Array = np.array([0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.5, 0.6, 0.7, 0.8])
TERMINAL_SHARES: Array = np.array([0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0])
PRIOR_FACE, PRIOR_TERMINAL, PRIOR_LOG_SD = 0.4, 0.65, 0.5
"""Middles and spread of the priors [1]; chosen: copper joins face and terminal, wire cools it."""
PRIOR_FAULTS = 6.0
"""Faults that the prior of even chances counts for [1]; chosen."""


@dataclass(frozen=True)
class Pairing:
    """Share of faults at the terminal, and what each kind shows in the other channel [1]."""

    terminal_share: float = 0.5
    face_per_terminal: float = PRIOR_FACE
    terminal_per_face: float = PRIOR_TERMINAL


@dataclass(frozen=True)
class Pairs:
    """Residuals of both channels and the face's load-driven rise, in spreads of each; (k,) each."""

    face_z: Array
    terminal_z: Array
    face_size: Array
    terminal_size: Array


def learn(
    pairs: Pairs,
    correlation: float,
    freedom: float,
    ratios: Array,
    odds: Array,
    *,
    passes: int = 30,
) -> Pairing:
    """Find the pairing of greatest penalised likelihood.

    Arguments: pairs (k,) rows; correlation of healthy residuals [1]; freedom of the t law [1];
    ratios and odds (m,): grid of excess heat ratios of the face and their odds against healthy.
    A terminal fault lifts the face by ratio × load-driven rise and the terminal by that over
    face_per_terminal; a device fault lifts the terminal by terminal_per_face times the face's
    lift. Source: EM over the two kinds (Dempster, Laird & Rubin 1977), grid over the rest.
    Returns the prior's middles where no row stands out.
    """
    if not pairs.face_z.size:
        return Pairing()
    terminal = [_odds(pairs, 1.0 / s, correlation, freedom, ratios, odds) for s in FACE_SHARES]
    device = [_odds(pairs, s, correlation, freedom, ratios, odds) for s in TERMINAL_SHARES]
    best, found = -np.inf, Pairing()
    for face, at_terminal in zip(FACE_SHARES, terminal, strict=True):
        for other, in_device in zip(TERMINAL_SHARES, device, strict=True):
            share, value = _share(at_terminal, in_device, passes)
            value += _log_prior(face, PRIOR_FACE) + _log_prior(other, PRIOR_TERMINAL)
            if value > best:
                best, found = value, Pairing(share, float(face), float(other))
    return found


def _odds(
    pairs: Pairs, slope: float, correlation: float, freedom: float, ratios: Array, odds: Array
) -> Array:
    """Return (k,) odds of a fault whose terminal lift is `slope` times its face lift."""
    still = 1.0 + _square(pairs.face_z, pairs.terminal_z, correlation) / freedom
    face = pairs.face_z[:, None] - ratios * pairs.face_size[:, None]
    terminal = pairs.terminal_z[:, None] - slope * ratios * pairs.terminal_size[:, None]
    lifted = 1.0 + _square(face, terminal, correlation) / freedom
    found: Array = ((still[:, None] / lifted) ** ((freedom + 2.0) / 2.0)) @ odds
    return found


def _square(a: Array, b: Array, correlation: float) -> Array:
    square: Array = (a * a - 2.0 * correlation * a * b + b * b) / (1.0 - correlation**2)
    return square


def _share(terminal: Array, device: Array, passes: int) -> tuple[float, float]:
    """Return the share of terminal faults and the penalised log likelihood."""
    share = 0.5
    for _ in range(passes):
        whole = 1.0 + share * terminal + (1.0 - share) * device
        at = float(np.sum(share * terminal / whole)) + PRIOR_FAULTS / 2
        within = float(np.sum((1.0 - share) * device / whole)) + PRIOR_FAULTS / 2
        share = at / (at + within)
    prior = PRIOR_FAULTS / 2 * (np.log(share) + np.log(1.0 - share))
    return share, float(np.sum(np.log1p(share * terminal + (1.0 - share) * device)) + prior)


def _log_prior(value: float, middle: float) -> float:
    return float(-0.5 * (np.log(value / middle) / PRIOR_LOG_SD) ** 2)
