"""The fit: backfitting passes over the design until nothing moves, or an error with its history."""

from __future__ import annotations

from dataclasses import asdict, dataclass

import numpy as np

from analytics import columns
from analytics.baseline import effects as fx
from analytics.baseline import equations as eq
from analytics.baseline import spread as sp
from analytics.baseline import visits as vs
from analytics.baseline.state import CHANNELS, Array, Groups, put_groups, start_groups
from analytics.errors import NotConvergedError
from analytics.settings import BaselineSettings
from analytics.statistics.acceleration import Anderson
from analytics.warehouse import Warehouse

HUBER_PASSES = 5
"""Passes led by Huber's weight before the bisquare takes over [1]; chosen: the fixed terms are near
their place by then."""
SETTLING_PASSES = 12
"""Passes in which spread and variance components still move; chosen: they settle in ten."""


@dataclass(frozen=True)
class Pass:
    """What one pass moved: fixed terms, slopes, offsets, spread, each in its own scale [1]."""

    number: int
    fixed: float
    slopes: float
    offsets: float
    spread: float
    exponent: float

    @property
    def largest(self) -> float:
        """The largest of the changes that decide convergence."""
        return max(self.fixed, self.slopes, self.offsets, self.spread)


@dataclass
class Fitted:
    """The converged state with its history."""

    groups: Groups
    effects: fx.Effects
    sums: list[eq.GroupSums]
    history: list[Pass]


def prepare(warehouse: Warehouse, settings: BaselineSettings) -> tuple[int, float]:
    """Build the design from the measures; return its rows and the usual floor [K]."""
    warehouse.build("fitting.clamp_share", least_share=settings.least_clamp_share)
    warehouse.build("fitting.group_level", device_classes=list(columns.DEVICE_CLASSES))
    warehouse.build("fitting.kind_met")
    for name in ("shelter", "make", "rating", "camera"):
        warehouse.build(f"fitting.{name}_level")
    warehouse.build("fitting.kind")
    found = warehouse.fetch("select coalesce(median(floor_k), 0) from normalise.measure")
    floor_k = float(found[0][0])
    rows = warehouse.build(
        "fitting.design", floor_k_default=floor_k, is_weighted=int(settings.is_weighted)
    )
    return rows, floor_k


def run(warehouse: Warehouse, settings: BaselineSettings) -> Fitted:
    """Fit the design in the store; raise NotConvergedError with the passes where it does not."""
    groups, effects = start(warehouse, settings, "fitting.design")
    history = settle(warehouse, groups, effects, settings)
    if effects.is_held:
        predict(warehouse, groups, effects, settings)
        warehouse.build("fitting.predicted")
    return finish(warehouse, groups, effects, settings, history)


def start(warehouse: Warehouse, settings: BaselineSettings, rows: str) -> tuple[Groups, fx.Effects]:
    """Set all to the priors; `fitting.standing` follows the parameters on the table `rows`."""
    groups = start_groups(warehouse, settings)
    effects = fx.start_effects(warehouse, settings)
    warehouse.put(
        "fitting.visit_effect", {"visit_id": [0], "w": [0.0], "w_e": [0.0], "offset_k": [0.0]}
    )
    warehouse.view("fitting.row", rows)
    predict(warehouse, groups, effects, settings)
    warehouse.view("fitting.standing")
    return groups, effects


def settle(
    warehouse: Warehouse, groups: Groups, effects: fx.Effects, settings: BaselineSettings
) -> list[Pass]:
    """Pass over the rows until nothing moves, spread and variances first, then accelerated."""
    history: list[Pass] = []
    jump = Anderson()
    for number in range(1, settings.most_passes + 1):
        point = vector(groups, effects)
        history.append(_one_pass(warehouse, groups, effects, settings, number))
        if number > SETTLING_PASSES and history[-1].largest < settings.tolerance:
            return history
        if number >= SETTLING_PASSES:
            if number > SETTLING_PASSES and history[-1].largest > history[-2].largest:
                jump.forget()
            set_vector(groups, effects, jump.propose(point, vector(groups, effects)), settings)
            if effects.is_held:  # so that the next point follows from the vector alone
                predict(warehouse, groups, effects, settings)
                vs.update_offsets(warehouse, groups, effects, is_settling=False)
    raise NotConvergedError(
        f"The baseline did not settle in {settings.most_passes} passes: the last one still moved "
        f"{history[-1]}.",
        "Look at the readings that came in last; the earlier baseline stays in force.",
        tuple(history),
    )


def _one_pass(
    warehouse: Warehouse,
    groups: Groups,
    effects: fx.Effects,
    settings: BaselineSettings,
    number: int,
) -> Pass:
    """One sweep; spread and variances move only in the first passes, then stand still.

    What moved is told over the whole sweep: centred effects and the gains under them trade places
    within it.
    """
    is_settling = number <= SETTLING_PASSES
    huber = settings.huber_tuning if number <= HUBER_PASSES else 0.0

    def look() -> None:
        predict(warehouse, groups, effects, settings, huber)

    before = [part.copy() for part in parts(groups, effects)]
    look()
    sums = eq.read_sums(warehouse)
    eq.step(groups, sums, settings)
    if is_settling:
        eq.pool_slopes(groups, sums)
    look()
    fx.update_slopes(warehouse, effects, groups, is_settling=is_settling)
    look()
    bins = sp.read_spread(warehouse) if is_settling else None
    vs.update_offsets(warehouse, groups, effects, is_settling=is_settling)
    moved = spread(warehouse, groups, effects, sums, bins)
    return told(number, groups, effects, before, sums, moved)


def spread(
    warehouse: Warehouse,
    groups: Groups,
    effects: fx.Effects,
    sums: list[eq.GroupSums],
    bins: sp.Bins | None,
) -> float:
    """Fit the spreads to what was read before the offsets moved; return the largest change."""
    if bins is None:
        return 0.0
    factor = eq.inflation(groups, sums, vs.spent(warehouse, effects, groups.count))
    return sp.update_spread(bins, groups, effects, factor)


def told(
    number: int,
    groups: Groups,
    effects: fx.Effects,
    before: list[Array],
    sums: list[eq.GroupSums],
    spread: float,
) -> Pass:
    """Return what a pass moved, given the parts before it, its sums and what the spread moved."""
    changes = [np.abs(new - old) for new, old in zip(parts(groups, effects), before, strict=True)]
    scale = eq.change_scale(groups, sums)
    return Pass(
        number,
        fixed=float(max(np.max(changes[0] / scale, initial=0.0), np.max(changes[1]) / 0.1)),
        slopes=float(max(np.max(c, initial=0.0) / 10.0 for c in (*changes[3:5], *changes[6:]))),
        offsets=float(np.max(changes[5], initial=0.0)),
        spread=spread,
        exponent=groups.exponent["face"],
    )


def parts(groups: Groups, effects: fx.Effects) -> list[Array]:
    """Return what moves between passes, part by part; shares ×10 so that all count alike."""
    return [
        groups.coefficients,
        np.array([groups.exponent[channel] for channel in CHANNELS]),
        effects.make_offset_k,
        effects.make_gain * 10.0,
        effects.rating_gain * 10.0,
        effects.camera_k,
        effects.minute_factor * 10.0,
        effects.shelter * 10.0,
    ]


def vector(groups: Groups, effects: fx.Effects) -> Array:
    """Stack what moves between passes, (k,)."""
    return np.concatenate([part.ravel() for part in parts(groups, effects)])


def set_vector(
    groups: Groups, effects: fx.Effects, values: Array, settings: BaselineSettings
) -> None:
    """Set the parameters to what `vector` stacked, within their bounds."""
    shapes = [part.shape for part in parts(groups, effects)]
    cuts = np.cumsum([int(np.prod(shape)) for shape in shapes])[:-1]
    split = [p.reshape(s) for p, s in zip(np.split(values, cuts), shapes, strict=True)]
    groups.coefficients = split[0].copy()
    groups.coefficients[:, 1] = np.maximum(groups.coefficients[:, 1], 1.0)
    low, high = settings.exponent_bounds
    for channel, value in zip(CHANNELS, split[1], strict=True):
        groups.exponent[channel] = float(np.clip(value, low, high))
    effects.make_offset_k, effects.make_gain = split[2], split[3] / 10.0
    effects.rating_gain, effects.camera_k = split[4] / 10.0, split[5]
    effects.minute_factor = np.clip(split[6] / 10.0, 0.1, 5.0)
    effects.shelter = np.clip(split[7] / 10.0, 0.1, 5.0)


def predict(
    warehouse: Warehouse,
    groups: Groups,
    effects: fx.Effects,
    settings: BaselineSettings,
    huber: float = 0.0,
) -> None:
    """Put the parameters where `fitting.standing` reads them; `huber` 0 for the bisquare."""
    put_groups(warehouse, groups)
    fx.put_effects(warehouse, effects)
    tunings = {"tuning": [settings.tuning], "huber_tuning": [huber]}
    warehouse.put("fitting.robust", tunings)


def finish(
    warehouse: Warehouse,
    groups: Groups,
    effects: fx.Effects,
    settings: BaselineSettings,
    history: list[Pass],
) -> Fitted:
    """Write standard errors and history, and return the fit; it must have settled."""
    predict(warehouse, groups, effects, settings)
    sums = eq.read_sums(warehouse)
    eq.check_exponents(groups, sums, settings, tuple(history))
    groups.standard_error = eq.standard_errors(groups, sums)
    put_groups(warehouse, groups)
    warehouse.put(
        "fitting.history", {key: [asdict(p)[key] for p in history] for key in asdict(history[0])}
    )
    return Fitted(groups, effects, sums, history)
