"""The way to the policy proposed told in parts: as far as the surer one, and from there on."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from analytics.statistics.sourced import Array
from analytics.tuning.advice import ends, short
from analytics.tuning.choice import Choice, Costs, Difference, difference
from analytics.tuning.lines import Four
from analytics.tuning.redrawn import Weighed
from analytics.tuning.telling import about


@dataclass(frozen=True)
class Part:
    """One policy against another that it is reached from, a quarter, as found.

    `difference` has nothing taken off for picking; `visits` are sent more, and `faulty` is how many
    of the devices examined between the two were found so.
    """

    former: Four
    lines: Four
    difference: Difference
    visits: float
    faulty: int


@dataclass(frozen=True)
class Further:
    """From the policy in force to the `first`, surer one; from there by the `last` to the shared.

    Both parts come of the same redrawn fleets, and add up to what the shared lines save.
    """

    first: Part
    last: Part

    @property
    def sentence(self) -> str:
        """Return what either part brings, which of them is told, and what can be done about it."""
        sure, lines = self.first.difference, self.first.lines
        return (
            f"As found, about {about(sure.saved)} ({about(sure.low)} to {about(sure.high)}) of it "
            f"comes with {short(lines, self.first.former)} and {_visits(self.first.visits)}: the "
            "surer lines, whose saving is the least in doubt. Going on to "
            f"{short(self.last.lines, lines)} takes {_visits(self.last.visits)} and is put at "
            f"{ends(self.last.difference)}{self._told()}"
        )

    def _told(self) -> str:
        found, lines = self.last.difference, short(self.first.lines, self.last.lines)
        seen = (
            f"of the {found.differing_count:,} devices between {found.examined_among:,} were "
            f"examined and {self.last.faulty:,} of these were faulty."
        )
        if found.is_told:
            return f", which the findings tell too: {seen}"
        start = f", which the findings cannot tell: {seen}"
        if found.needed is None:
            return f"{start} Stop at {lines}: it is not expected to save more."
        return (
            f"{start} Take it for its expected cost, or stop at {lines} and have about "
            f"{found.needed:,} more of the devices between examined."
        )


def further(weighed: Weighed, choice: Choice, costs: Costs, quarters: int) -> Further | None:
    """Tell the parts of the way; None where no surer policy lies between."""
    if choice.quieter is None:
        return None
    first = part(weighed, (weighed.place, choice.quieter), costs, quarters)
    return Further(first, part(weighed, (choice.quieter, choice.shared), costs, quarters))


def cheaper(weighed: Weighed, choice: Choice, costs: Costs, quarters: int) -> Part | None:
    """Set the policy of least cost beside that in force where none other is proposed.

    None where that in force costs least.
    """
    if choice.difference is not None or choice.least == weighed.place:
        return None
    return part(weighed, (weighed.place, choice.least), costs, quarters)


def part(weighed: Weighed, ends: tuple[int, int], costs: Costs, quarters: int) -> Part:
    """Set the second of two places beside the first, as if that were in force."""
    former, pick = ends
    counts = weighed.cells.totals()
    gained = _counts(weighed, former) - _counts(weighed, pick)
    saved = gained @ np.array([costs.missed, costs.visit]) / quarters
    differ = weighed.flags[pick] != weighed.flags[former]
    flagged = counts[0] @ (weighed.flags[pick].astype(np.float64) - weighed.flags[former])
    found = difference(replace(weighed, place=former), pick, saved, 0.0)
    return Part(
        weighed.lines(former).shared,
        weighed.lines(pick).shared,
        found,
        float(flagged) / quarters,
        int(counts[2][differ].sum()),
    )


def _counts(weighed: Weighed, place: int) -> Array:
    """Return faults missed and visits in vain of a place, shape (1 + draws, 2)."""
    return np.stack([weighed.missed[place], weighed.wasted[place]], axis=1)


def _visits(count: float) -> str:
    """Write visits a quarter, more or fewer."""
    return f"{abs(count):,.0f} {'more' if count >= 0 else 'fewer'} visits a quarter"
