"""When the proposed policy pays, what it asks of the firm, and what no line can catch."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from dashboards import theme
from dashboards.pages.parts import count
from dashboards.pages.tuning_words import Block, lines_of, money, per_quarter

if TYPE_CHECKING:
    from analytics.tuning.consequences import Stance
    from dashboards.tuning import TuningRecord

ASSUMES = (
    "A visit is one flagged device: two of one panel count as two, though one trip may do. A "
    "visit that finds a fault counts as paid for by the repair; where it costs the firm as much as "
    "one in vain, the break-even is one visit more for each further fault."
)


def blocks(record: TuningRecord) -> tuple[Block, ...]:
    """Return when it pays, the same choice at other costs, and what no line of any policy finds."""
    asked = record.tuned.consequences
    if asked is None:
        return ()
    found = [Block("What no line catches", _uncaught(record))]
    if record.tuned.difference is not None:
        found.insert(0, Block("When it pays", (*_pays(record), ASSUMES)))
        is_own = any(one.is_proposed for one in record.tuned.classes)
        words = tuple(_stance(one, "shared " if is_own else "") for one in asked.stances)
        found.insert(1, Block("At other costs of a missed fault", words))
    return tuple(found)


def _pays(record: TuningRecord) -> tuple[str, ...]:
    asked, costs = record.tuned.consequences, record.tuned.costs
    assert asked is not None
    assert costs is not None
    each = asked.visits_per_fault
    if math.isnan(each):
        return (
            "It does not find more faults with more visits in vain: it moves one for the other.",
        )
    low, high = asked.visits_per_fault_spread
    top = f"{high:.1f}" if math.isfinite(high) else "no number known"
    return (
        f"It pays while a missed fault costs more than {each:.1f} visits in vain ({low:.1f} to "
        f"{top}). Each further fault found takes about {money(each * costs.visit)}.",
        _why_below(record),
    )


def _why_below(record: TuningRecord) -> str:
    """Explain why a line under the break-even chance can pay."""
    costs, difference = record.tuned.costs, record.tuned.difference
    policy = record.compared
    if costs is None or policy is None or difference is None:
        return ""
    if policy.probability >= costs.break_even:
        return ""
    return (
        f"A visit pays from a chance of {100 * costs.break_even:.1f}{theme.PERCENT}. A line under "
        "that can pay since the line is where flags begin, not what they are worth on the average, "
        f"and since stated chances differ from what was found: of the devices between the two "
        f"policies about {theme.share(difference.faulty_share_among)} are faulty."
    )


def _stance(one: Stance, which: str) -> str:
    what = "half" if one.factor < 1 else "twice"
    if one.lines is None:
        return f"At {what} the cost nothing is recommended: the policy in force stays."
    return f"At {what} the cost the {which}lines would be drawn at {lines_of(one.lines)}."


def _uncaught(record: TuningRecord) -> tuple[str, ...]:
    asked, found, span = record.tuned.consequences, record.tuned.found, record.tuned.span
    assert asked is not None
    low, high = asked.uncaught_spread
    return (
        f"About {per_quarter(asked.uncaught)} faults a quarter ({per_quarter(low)} to "
        f"{per_quarter(high)}) are missed by the loosest line tried too: they look like the sound.",
        f"The {span.outside:,} readings out of reach of every line stand in no number here, nor do "
        f"the {count(found.outside_faulty, 'fault')} found among them.",
    )


def how(record: TuningRecord) -> tuple[str, ...]:
    """Say how the policy proposed is picked."""
    tuned = record.tuned
    assert tuned.choice is not None
    limit = (
        f"Policies that need more than {tuned.most_visits:,.0f} visits a quarter were left out."
        if tuned.most_visits
        else "No limit of visits was given."
    )
    return (
        f"{count(tuned.choice.alike, 'policy', 'policies')} cost within one standard error of the "
        "least; of those that the findings tell from the one in force, the one with the fewest "
        "visits in vain is taken, as Breiman and others pick the simplest tree (1984). To it come "
        "lines of its own for each class that is told to gain by them on panels that they were not "
        "chosen on.",
        "What picking the best of many flatters itself by is taken off the saving (Efron 1983). A "
        "policy at an end of the lines tried is never recommended.",
        f"No lift under {tuned.least_lift_k:g}{theme.GAP}K was tried: so far, rounded up to half a "
        f"kelvin, readings of one device lie apart. {limit}",
    )
