"""What is proposed: the best shared lines, and own lines for each class that is told to gain.

The saving of the whole is put together from two parts. That of the shared lines is the estimate on
all panels with the flattery of having picked the best of many taken off, as in `choice`. That of
each class's own lines is what lines chosen for it on one half of the panels save on the other,
against the shared ones that the proposal is built on; those were chosen on all panels, which
favours them, so that the saving of own lines is told too small rather than too large. Never is it
told larger than what the lines proposed save on the panels that they were chosen on.

Both parts are drawn together, panel by panel. Which classes come in was read off the same findings,
so the ends of the interval are those of one proposal among as many as could have come out with so
many classes, on the shared lines proposed or on those in force, and the shared one beside them
(Bonferroni): with one class in of eight tried, the ends leave out 5 % in 17, in place of 5 %.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from analytics.statistics.sourced import Array
from analytics.tuning.cells import Bools
from analytics.tuning.choice import Choice, Costs, difference
from analytics.tuning.classes import ClassLines, Trials, saving
from analytics.tuning.lines import Lines
from analytics.tuning.redrawn import LEVEL, Weighed


@dataclass(frozen=True)
class Proposal:
    """The candidates with the proposal among them, its choice, and what came of each class."""

    weighed: Weighed
    choice: Choice
    classes: tuple[ClassLines, ...]


@dataclass(frozen=True)
class _Built:
    """Lines put together so far, on those in force or others; what they flag; whose own came in."""

    lines: Lines
    flags: Bools
    is_in_force: bool
    numbers: tuple[int, ...] = ()


@dataclass(frozen=True)
class _Own:
    """The own lines that came in, and how they were tried."""

    built: _Built
    trials: Trials
    costs: Costs

    def saving(self, whole: Weighed, base: int) -> Array:
        """Return what those chosen on the other half save against the base, shape (1 + draws,)."""
        tried, halves = self.trials.tried, self.trials.halves
        parts = [
            saving(whole, self.costs, halves, tried[number], (base, base))
            for number in self.built.numbers
        ]
        return np.asarray(np.sum(parts, axis=0))


def propose(
    weighed: Weighed,
    choice: Choice,
    trials: Trials,
    costs: Costs,
    limit: tuple[int, float | None],
    *,
    is_shared: bool = False,
) -> Proposal:
    """Add to the shared choice the lines of the classes that are told to gain by their own.

    Where the whole is not told to save, they are added to the policy in force in its stead. `limit`
    holds the quarters that the readings span, and how many visits a quarter can be sent. Held to
    shared lines with `is_shared`; where no class comes in the choice is the shared one.
    """
    bases = [weighed.place] if choice.is_at_end else [choice.pick, weighed.place]
    first: tuple[ClassLines, ...] = ()
    for base in dict.fromkeys(bases):
        built, classes = _built(weighed, base, trials, limit, is_shared=is_shared)
        first = first or classes
        if built.numbers:
            whole = weighed.with_candidate(built.lines, built.flags)
            ways = 1 + len(set(bases)) * math.comb(len(trials.tried), len(built.numbers))
            found = _whole(whole, choice, base, _Own(built, trials, costs), limit[0], ways)
            if found.is_recommended and _gains(found, choice, base):
                return Proposal(whole, found, classes)
    told = (replace(one, why_not="not_whole") if one.is_proposed else one for one in first)
    return Proposal(weighed, choice, tuple(told))


def _gains(found: Choice, choice: Choice, base: int) -> bool:
    """Tell whether the whole is put at more than the shared lines alone, where those are told."""
    if not (choice.is_recommended and base == choice.pick):
        return True
    return bool(
        found.difference and choice.difference and found.difference.saved > choice.difference.saved
    )


def _built(
    weighed: Weighed,
    base: int,
    trials: Trials,
    limit: tuple[int, float | None],
    *,
    is_shared: bool,
) -> tuple[_Built, tuple[ClassLines, ...]]:
    """Return a candidate with the lines of the classes told, most saved first, and what of each."""
    built = _Built(weighed.lines(base), weighed.flags[base], base == weighed.place)
    classes = list(trials.classes)
    for number in sorted(trials.tried, key=lambda one: -classes[one].saved):
        if classes[number].is_told:
            built, why_not = _added(weighed, built, trials, number, limit, is_shared=is_shared)
            classes[number] = replace(classes[number], why_not=why_not)
    return built, tuple(classes)


def _added(
    weighed: Weighed,
    built: _Built,
    trials: Trials,
    number: int,
    limit: tuple[int, float | None],
    *,
    is_shared: bool,
) -> tuple[_Built, str]:
    """Return what is built with a class's own lines; and why they stay out, else nothing."""
    name, best = trials.classes[number].device_class, trials.tried[number].best
    own = weighed.cells.device_class == number
    four = weighed.lines(best).of_class(name)
    flags = np.where(own, weighed.flags[best], built.flags)
    if four == built.lines.of_class(name):
        return built, "in_force" if built.is_in_force else "as_shared"
    if is_shared:
        return built, "held"
    if weighed.is_at_end[best]:
        return built, "at_end"
    quarters, most = limit
    if most is not None and float(weighed.cells.totals()[0][flags].sum()) / quarters > most:
        return built, "over_capacity"
    lines, numbers = built.lines.with_class(name, four), (*built.numbers, number)
    return replace(built, lines=lines, flags=flags, numbers=numbers), ""


def _whole(
    whole: Weighed, choice: Choice, base: int, own: _Own, quarters: int, ways: int
) -> Choice:
    """Return the choice of the last candidate of `whole`, the saving as the module says."""
    pick = len(whole.flags) - 1
    places = [whole.place, base, pick]
    cost = own.costs.missed * whole.missed[places] + own.costs.visit * whole.wasted[places]
    cost /= quarters
    flattery = choice.difference.flattery if choice.difference and base == choice.pick else 0.0
    gain = own.saving(whole, base) / quarters
    gain -= max(float(gain[0] - (cost[1] - cost[2])[0]), 0.0)
    told = difference(whole, pick, cost[0] - cost[1] + gain, flattery, (1 - LEVEL) / ways)
    off = float((cost[0] - cost[2])[0]) - told.saved
    found = replace(told, flattery=off)
    return replace(choice, pick=pick, shared=choice.pick, is_at_end=False, difference=found)
