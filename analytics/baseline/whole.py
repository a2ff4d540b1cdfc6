"""Fit of a store of any size: a large one on a lot of its visits first, from there on all rows.

Source: defect correction, Stetter, Numer. Math. 29 (1978) 425, the lot being the cheap likeness of
the whole; compare the surrogate likelihood of Jordan, Lee & Yang, J. Am. Stat. Assoc. 114 (2019)
668. Both from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from analytics.baseline import effects as fx
from analytics.baseline import equations as eq
from analytics.baseline import spread as sp
from analytics.baseline import visits as vs
from analytics.baseline.fit import (
    Fitted,
    Pass,
    finish,
    parts,
    predict,
    set_vector,
    settle,
    spread,
    start,
    told,
    vector,
)
from analytics.baseline.fit import run as fit_plainly
from analytics.baseline.state import CHANNELS, Array, Groups
from analytics.errors import NotConvergedError
from analytics.settings import BaselineSettings
from analytics.statistics.acceleration import Anderson
from analytics.warehouse import Warehouse

LOT_ROWS = 100_000
"""Rows that a large fit begins with [1]; chosen: few enough for a pass in a blink."""
PLAIN_ROWS = 400_000
"""Rows up to which all are fitted from the start [1]; chosen: a lot of a quarter pays."""
SETTLING_PASSES = 5
"""Passes over all rows in which spread and variances still move, at most [1]; chosen: each leaves
about a third of the gap; after three a floor slope could be a standard error off."""
MOST_WHOLE_PASSES = 10
"""Passes over all rows after which the lot is given up as unlike them [1]; chosen: five suffice."""
MOST_LOT_PASSES = 25
"""Passes over the lot between two over all rows, at most [1]; chosen: the lot need not be solved
for the next pass to be nearer."""
WARM_PASSES = 3
"""Passes over the lot after which its visits have followed a point [1]; chosen: what one leaves
moves a camera by a hundredth of a kelvin, and each takes nineteen twentieths of it."""
LOT_SHARE = 0.3
"""How far the lot is solved, as a share of the tolerance [1]; chosen."""
CAMERA_UNIT_K = 5.0
"""What counts as one unit of a camera's change [K]; chosen: a hundredth of a kelvin, below what any
camera resolves, is then within the tolerance; the last of hundreds moves by half that for long."""


@dataclass
class _State:
    """Where the fit stands."""

    warehouse: Warehouse
    settings: BaselineSettings
    groups: Groups
    effects: fx.Effects

    def vector(self) -> Array:
        return vector(self.groups, self.effects)

    def move_to(self, values: Array) -> None:
        set_vector(self.groups, self.effects, values, self.settings)

    def lay(self) -> None:
        predict(self.warehouse, self.groups, self.effects, self.settings)


def run(warehouse: Warehouse, settings: BaselineSettings) -> Fitted:
    """Fit the design in the store; raise NotConvergedError with the passes where it does not.

    Where a lot does not lead to the fit of all rows, all rows are fitted from the start.
    """
    rows = int(warehouse.fetch("select count(*) from fitting.design")[0][0])
    if rows <= PLAIN_ROWS or settings.held is not None:
        return fit_plainly(warehouse, settings)
    warehouse.build("fitting.lot", share=LOT_ROWS / rows)
    groups, effects = start(warehouse, settings, "fitting.lot")
    try:
        history = settle(warehouse, groups, effects, settings)
        history += _widen(_State(warehouse, settings, groups, effects), len(history))
    except NotConvergedError:  # a lot unlike the whole: all rows from the start
        return fit_plainly(warehouse, settings)
    return finish(warehouse, groups, effects, settings, history)


def _widen(state: _State, done: int) -> list[Pass]:
    """Take a fit that has settled on `fitting.lot` to all rows of `fitting.design`.

    Where a pass over all rows takes the parameters p to G(p) and one over the lot to L(p), the next
    point solves q = L(q) + G(p) - L(p): right where both passes agree in how they pull, near
    elsewhere. The first passes let spread and variances follow all rows. Returns the passes over
    all rows, numbered on from `done`. Raises NotConvergedError where they do not settle.
    """
    warehouse, history, jump = state.warehouse, list[Pass](), Anderson()
    for number in range(1, MOST_WHOLE_PASSES + 1):
        point = state.vector()
        warehouse.view("fitting.row", "fitting.design")
        is_settling = number <= SETTLING_PASSES
        history.append(_pass(state, done + number, is_settling=is_settling))
        if history[-1].largest < state.settings.tolerance:
            return history
        warehouse.copy("fitting.visit_effect", "fitting.visit_kept")
        warehouse.view("fitting.row", "fitting.lot")
        _solve_lot(state, point, state.vector())
        if not is_settling:
            state.move_to(jump.propose(point, state.vector()))
        warehouse.copy("fitting.visit_kept", "fitting.visit_effect")
    raise NotConvergedError(
        f"The baseline did not settle in {MOST_WHOLE_PASSES} passes over all rows: the last one "
        f"still moved {history[-1]}.",
        "Look at the readings that came in last; the earlier baseline stays in force.",
        tuple(history),
    )


def _pass(state: _State, number: int, *, is_settling: bool) -> Pass:
    """Sweep with the visits first, since they follow from all the rest."""
    warehouse, groups, effects = state.warehouse, state.groups, state.effects
    before = [part.copy() for part in parts(groups, effects)]
    visit = effects.variances.visit
    state.lay()
    vs.follow_visits(warehouse, effects)
    bins = sp.read_spread(warehouse) if is_settling else None
    vs.update_offsets(warehouse, groups, effects, is_settling=is_settling)
    state.lay()
    sums = eq.read_sums(warehouse)
    eq.step(groups, sums, state.settings)
    if is_settling:
        eq.pool_slopes(groups, sums)
    state.lay()
    fx.update_slopes(warehouse, effects, groups, is_settling=is_settling)
    moved = spread(warehouse, groups, effects, sums, bins)
    moved = max(moved, abs(math.log(effects.variances.visit / visit)))
    found = told(number, groups, effects, before, sums, moved)
    return replace(found, offsets=found.offsets / CAMERA_UNIT_K)


def _solve_lot(state: _State, point: Array, image: Array) -> None:
    """Move to the solution on the lot, given where a pass over all rows took `point`."""
    for _ in range(WARM_PASSES):  # so that the robust weights follow the lot's own visits
        state.move_to(point)
        _pass(state, 0, is_settling=False)
    shift, jump = image - state.vector(), Anderson()
    silent, units = _silent(state), _units(state)
    state.move_to(image)
    enough, last = LOT_SHARE * state.settings.tolerance, np.inf
    for _ in range(MOST_LOT_PASSES):
        before = state.vector()
        _pass(state, 0, is_settling=False)
        after = np.where(silent, image, state.vector() + shift)
        step = float(np.max(np.abs(after - before) / units))
        if step < enough:
            state.move_to(after)
            return
        if step > last:
            jump.forget()
        last = step
        state.move_to(jump.propose(before, after))


def _silent(state: _State) -> NDArray[np.bool_]:
    """Return which parts of the vector the lot says nothing of: groups and channels it lacks."""
    met = state.warehouse.fetch(
        "select distinct k.group_id, k.channel from fitting.lot "
        "inner join fitting.kind as k using (kind_id)"
    )
    groups, channels = {int(g) - 1 for g, _ in met}, {c for _, c in met}
    coefficients = np.ones_like(state.groups.coefficients, dtype=bool)
    coefficients[sorted(groups)] = False
    exponents = np.array([channel not in channels for channel in CHANNELS])
    silent = np.zeros(state.vector().size, dtype=bool)
    silent[: coefficients.size + exponents.size] = np.concatenate([coefficients.ravel(), exponents])
    return silent


def _units(state: _State) -> Array:
    """Return what counts as one unit of change of each part of the vector."""
    units = np.ones(state.vector().size)
    units[: state.groups.coefficients.size] = np.tile(eq.UNITS, state.groups.count)
    return units
