"""Currents: what the house's loads draw through each pole, and which of them were on before."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from synthetic_data.fleet import CLASSES, ROWS, Bools, Fleet, Floats, Ints, second_pole
from synthetic_data.spec import Loads

STANDBY_A = 0.15
LEAST_BALANCED = 0.62
"""The lower leg of an unbalanced two-pole load, as a share of the upper [1]; chosen."""


@dataclass(frozen=True)
class Currents:
    """Currents of the poles [visit, 21, 2]."""

    current_a: Floats
    before_a: Floats
    """The part that had flowed for hours before the inspector switched on the rest."""
    is_continuous: Bools


def _one_pole(shape: tuple[int, ...], loads: Loads, rng: np.random.Generator) -> Floats:
    """Load fractions [1]: many idle, some 10–60 %, few heavy, fewer overloaded."""
    draw = rng.random(shape)
    usual = 0.1 + 0.5 * rng.beta(1.2, 2.0, shape)
    heavy = rng.uniform(0.6, 0.8, shape)
    over = rng.uniform(0.82, 1.12, shape)
    is_over = draw < loads.overload_share
    is_heavy = draw < loads.overload_share + loads.heavy_share
    is_idle = draw > 1.0 - loads.idle_share
    return np.select([is_over, is_heavy, is_idle], [over, heavy, 0.0], usual)


def _two_pole(shape: tuple[int, ...], loads: Loads, rng: np.random.Generator) -> Floats:
    """Load fractions [1] of two-pole circuits: an appliance runs or it does not."""
    draw = rng.random(shape)
    runs = rng.uniform(0.25, 0.78, shape)
    over = rng.uniform(0.82, 1.05, shape)
    return np.select([draw < loads.overload_share, draw > 0.45], [over, 0.0], runs)


def _legs(poles: Ints, is_head: Bools, rng: np.random.Generator) -> Floats:
    """Return each pole's share of the device's larger leg [1]; a 240 V load is balanced."""
    shape = poles.shape
    is_unbalanced = (rng.random(shape) < 0.3) & (poles == 2)
    lower = np.where(is_unbalanced, rng.uniform(LEAST_BALANCED, 1.0, shape), 1.0)
    is_first_lower = rng.random(shape) < 0.5
    first, second = np.where(is_first_lower, lower, 1.0), np.where(is_first_lower, 1.0, lower)
    second_pole(second, is_head, poles)
    return np.where(is_head, first, second)


def _main(current: Floats, rated_a: Ints, limit: float) -> Floats:
    """Sum the legs into the main, held to a limit of its rating; row r hangs on leg r mod 2."""
    legs = np.stack([current[:, 1::2].sum(axis=(1, 2)), current[:, 2::2].sum(axis=(1, 2))], axis=1)
    largest = limit * rated_a
    held = np.min(np.minimum(1.0, largest / np.maximum(legs, 1e-9)), axis=1)
    current *= held[:, None, None]
    result: Floats = legs * held[:, None]
    return result


def draw(fleet: Fleet, panel: Ints, loads: Loads, rng: np.random.Generator) -> Currents:
    """Draw the currents of each visit's poles; the main carries the sum of its legs.

    Args: panel, the fleet's panel of each visit [visit].
    """
    poles, is_head = fleet.poles[panel], fleet.is_head[panel]
    shape = (len(panel), ROWS, 2)
    fraction = np.where(poles == 2, _two_pole(shape, loads, rng), _one_pole(shape, loads, rng))
    standby = rng.exponential(STANDBY_A, shape)
    is_before = rng.random(shape) < 0.5
    is_steady = rng.random(shape) < 0.6
    for values in (fraction, standby, is_before, is_steady):
        second_pole(values, is_head, poles)
    # loads on in earnest for long: sustained overloads are what the inspectors met, not switched on
    is_before |= fraction > 0.81
    current = np.where(fraction > 0, fraction * fleet.rated_a[panel], standby)
    current *= _legs(poles, is_head, rng) * fleet.is_pole[panel]
    device_class = fleet.device_class[panel]
    has_load = ~np.isin(
        device_class, [CLASSES.index(c) for c in ("surge_protector", "energy_monitor")]
    )
    current *= has_load
    current[:, 0, :] = 0.0
    main = _main(current, fleet.rated_a[panel][:, 0], loads.main_limit)
    before = current * is_before
    current[:, 0, :], before[:, 0, :] = main, 0.0
    before[:, 0, :] = _main(before.copy(), fleet.rated_a[panel][:, 0], loads.main_limit)
    return Currents(current, before, is_steady | (fraction > 0.81))
