"""When the proposed policy pays, what each step towards it brings, and what no line can catch."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from analytics.tuning.advice import span
from analytics.tuning.telling import about
from dashboards import theme
from dashboards.pages.parts import Table, count, table
from dashboards.pages.tuning_words import Block, lines_of, money, per_quarter

if TYPE_CHECKING:
    from analytics.tuning.consequences import Consequences, Stance, Step
    from analytics.tuning.lines import Four
    from dashboards.tuning import TuningRecord

ASSUMES = (
    "A visit is one flagged device: two of one panel count as two, though one trip may do. A "
    "visit that finds a fault counts as paid for by the repair; where it costs the firm as much as "
    "one in vain, the break-even is one visit more for each further fault. A visit that finds an "
    "overload and no fault counts as in vain here."
)


def blocks(record: TuningRecord) -> tuple[Block, ...]:
    """Return when it pays, step by step, how steady the choice is, and what no line finds."""
    asked = record.tuned.consequences
    if asked is None:
        return ()
    found = [Block("What no line catches", _uncaught(record))]
    if record.tuned.difference is not None:
        steps = Block("Step by step", (_steps_sentence(record),), None, (_steps(record),), True)
        steady = Block("How steady this choice is", _steady(record), None, (_costs(record),))
        pays = Block("When it pays", (*_pays(record), ASSUMES))
        found = [steps, pays, steady, *found]
    return tuple(found)


def _steps_sentence(record: TuningRecord) -> str:
    costs = record.tuned.costs
    assert costs is not None
    return (
        "Each row against the one above it, a quarter. A step pays where it takes fewer visits in "
        "vain for each further fault than a missed fault is worth, at these costs "
        f"{costs.missed / costs.visit:.1f}. What is saved is against the policy in force, before "
        "anything is taken off for having picked among many."
    )


def _steps(record: TuningRecord) -> Table:
    asked = record.tuned.consequences
    assert asked is not None
    headers = (
        "mark", "from a chance of", "heat ratio", "lift, K", "visits", "more faults found",
        "more in vain", "in vain for each", "saved a quarter", "best in, of 100",
    )  # fmt: skip
    words = "Policies with one set of lines for all, from the one in force to the one proposed"
    pick = "best shared" if _has_own(record) else "proposed"
    return table(words, headers, [_row(one, pick) for one in asked.steps])


def _has_own(record: TuningRecord) -> bool:
    """Tell whether a class has lines of its own in the proposal."""
    return any(one.is_proposed for one in record.tuned.classes)


def _row(one: Step, pick: str) -> tuple[str, ...]:
    return (
        _mark(one, pick),
        f"{100 * one.lines[0]:.3g}{theme.PERCENT}",
        f"{one.lines[1]:g}",
        f"{one.lines[2]:g}",
        f"{one.visits:,.0f}",
        "–" if math.isnan(one.found) else f"{one.found:.1f}",
        "–" if math.isnan(one.in_vain) else f"{one.in_vain:.1f}",
        _each(one),
        _within(one),
        f"{100 * one.best_in:.0f}",
    )


def _within(one: Step) -> str:
    """Write what a step saves with its interval, in one piece."""
    low, high = (money(end) for end in one.saved_spread)
    return f"{money(one.saved)} ({low} to {high})".replace(" ", theme.GAP)


def _each(one: Step) -> str:
    if math.isnan(one.found):
        return "–"
    return f"{one.visits_per_fault:,.0f}" if math.isfinite(one.visits_per_fault) else "no fault"


def _mark(one: Step, pick: str) -> str:
    if one.is_in_force:
        return "in force"
    if one.is_proposed:
        return pick
    return "surer" if one.is_quieter else "–"


def _steady(record: TuningRecord) -> tuple[str, ...]:
    """Say how the pick fares where the cost of a missed fault, or the findings, are others."""
    asked = record.tuned.consequences
    assert asked is not None
    return _turning(record, asked), *_redrawn(asked.steps)


def _turning(record: TuningRecord, asked: Consequences) -> str:
    """Say at which costs of a missed fault the choice turns."""
    costs = record.tuned.costs
    assert costs is not None
    if len(asked.runs) == 1:
        return "At half to twice the cost of a missed fault the same lines are proposed."
    first, *rest = asked.runs
    turns = [f"{_money(run[0].factor * costs.missed)}: {_brief(run[0])}" for run in rest]
    return (
        f"It turns with the cost of a missed fault, which is a guess. At half of it: "
        f"{_brief(first[0])}; from {'; from '.join(turns)}. A dearer missed fault never proposes "
        "fewer visits."
    )


def _money(value: float) -> str:
    """Write a cost of a missed fault in three digits, since those tried lie near each other."""
    return about(value, 3)


def _brief(one: Stance) -> str:
    if one.lines is None:
        return "the policy in force"
    return f"a chance of {100 * one.lines[0]:.3g}{theme.PERCENT}"


def _redrawn(steps: tuple[Step, ...]) -> tuple[str, ...]:
    """Say in how many redrawn fleets the proposed policy itself costs least, and its neighbours."""
    at = next((number for number, one in enumerate(steps) if one.is_proposed), None)
    if at is None:
        return ()
    itself = steps[at].best_in
    beside = sum(one.best_in for one in steps[max(at - 1, 0) : at + 2]) - itself
    return (
        f"In {100 * itself:.0f} of 100 fleets redrawn from the findings the one proposed itself "
        f"costs least, in {100 * beside:.0f} one of its two neighbours.",
    )


def _costs(record: TuningRecord) -> Table:
    asked, costs = record.tuned.consequences, record.tuned.costs
    assert asked is not None
    assert costs is not None
    at = next((one.lines for one in asked.stances if one.factor == 1 and one.lines), None)
    rows = [(span(run, costs).removeprefix("at "), _stance(run[0], at)) for run in asked.runs]
    which = "shared lines that would be drawn" if _has_own(record) else "lines that would be drawn"
    return table("At other costs of a missed fault", ("missed fault", which), rows)


def _stance(one: Stance, proposed: Four | None) -> str:
    """Write what would be drawn; the chance alone where the other lines are those proposed."""
    if one.lines is None:
        return "keep the policy in force"
    is_alike = proposed is not None and one.lines[1:] == proposed[1:] and one.lines != proposed
    return f"{_brief(one)}, the rest alike" if is_alike else lines_of(one.lines)


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
        f"{top}). On the average each further fault found takes about {money(each * costs.visit)}.",
        *_why_below(record),
        *_overloaded(record),
    )


def _why_below(record: TuningRecord) -> tuple[str, ...]:
    """Explain why a line under the break-even chance can pay, by what was found there."""
    tuned, policy = record.tuned, record.proposed
    if tuned.costs is None or policy is None or tuned.difference is None:
        return ()
    if policy.flag_probability >= tuned.costs.break_even:
        return ()
    return (
        f"A visit pays from a chance of {100 * tuned.costs.break_even:.1f}{theme.PERCENT}. A line "
        "under that can pay where low chances come out higher than stated: of the devices between "
        f"the two policies about {theme.share(tuned.difference.faulty_share_among)} are faulty.",
    )


def _overloaded(record: TuningRecord) -> tuple[str, ...]:
    """Say that the line for overloaded devices asks nothing more of them."""
    policy = record.proposed
    if policy is None or policy.flag_loaded_probability <= policy.flag_probability:
        return ()
    return (
        f"The line for overloaded devices, {100 * policy.flag_loaded_probability:.3g}"
        f"{theme.PERCENT}, stays and asks no more of them: whoever passes the lines of all is "
        "suspected, overloaded or not.",
    )


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
    limit = (
        f"Policies that need more than {tuned.most_visits:,.0f} visits a quarter were left out."
        if tuned.most_visits
        else "No limit of visits was given."
    )
    return (
        "Policies are tried along one line from few flags to many, each flagging all that the one "
        "before flags: stricter than the one in force by its chance alone, looser with the other "
        "lines at the lowest tried. On fleets redrawn from the findings the one of least cost is "
        "looked up; three fleets in four want the one proposed or a looser one. Of these, the "
        "nearest that the findings tell from the one in force is taken. To it come lines of its "
        "own for each class that is told to gain by them on panels that they were not chosen on.",
        "What picking the best of many flatters itself by is taken off the saving (Efron 1983). A "
        "policy at an end of the chances tried is never recommended.",
        f"No lift under {tuned.least_lift_k:g}{theme.GAP}K was tried: so far, rounded up to half a "
        f"kelvin, readings of one device lie apart. {limit}",
    )
