"""What is proposed, in plain words: the sentence, what each step brings, how steady it is."""

from __future__ import annotations

import math
import textwrap
from typing import TYPE_CHECKING

from analytics.statistics.few_events import gamma_limits
from analytics.statistics.verification import Corrected
from analytics.tuning.telling import TEXT_WIDTH, about

if TYPE_CHECKING:
    from analytics.tuning.cells import Cells, Grid
    from analytics.tuning.choice import Choice, Costs, Difference, Limit
    from analytics.tuning.consequences import Consequences, Stance, Step
    from analytics.tuning.lines import Four, Lines
    from analytics.tuning.redrawn import Weighed

WANTED_MISSED = 0.2
"""Share of faults missed that an examination of the rest should be able to rule out [1]; chosen."""
KEEP = "keep the policy in force"


def sentence(
    weighed: Weighed,
    now: Corrected,
    costs: Costs | None,
    choice: Choice | None,
    asked: Consequences | None,
) -> str:
    """Return what to do and why, or why it cannot be told and what would tell it.

    `asked` is there wherever a choice is.
    """
    if costs is None:
        return (
            "No policy is recommended without the firm's own costs: give --missed-cost and "
            "--visit-cost."
        )
    if choice is None or asked is None:
        return (
            "No policy can be recommended: none of the devices that were not flagged was examined, "
            f"so nobody knows what is missed. Have {examinations(weighed.cells, now):,} of them "
            "examined; loadrise tune --plan draws them."
        )
    told = " ".join((*_asks(weighed.grid, costs), _answer(weighed, costs, choice, asked)))
    return told[0].upper() + told[1:]


def _asks(grid: Grid, costs: Costs) -> list[str]:
    """Ask back where the costs are hardly meant."""
    if costs.missed < costs.visit:
        return [
            f"Is a missed fault ({about(costs.missed)}) really worth less than a visit in vain "
            f"({about(costs.visit)})? If so:"
        ]
    if costs.break_even < grid.probabilities[0]:
        return [
            f"Is a missed fault really worth {about(costs.missed / costs.visit)} visits in vain? "
            f"Then a chance over {100 * costs.break_even:.1g} % is worth one: less than the lowest "
            f"chance tried, {100 * grid.probabilities[0]:g} %."
        ]
    return []


def _answer(weighed: Weighed, costs: Costs, choice: Choice, asked: Consequences) -> str:
    difference = choice.difference
    if choice.limit is not None:
        return _over(choice.limit, difference, lines_at(weighed.lines(choice.pick)))
    if difference is None:
        return f"Keep the policy in force: {kept(asked)}"
    told = lines_at(weighed.lines(choice.pick))
    if choice.is_recommended:
        return f"Draw the lines at {told}: {_pays(choice, difference, asked)}"
    if difference.is_told:
        return _at_end(weighed.grid, costs, difference, told)
    return (
        f"The findings cannot tell {told} from the policy in force: it may cost "
        f"{saving(difference)}. Keep the policy in force. {more_findings(difference)}"
    )


def _over(limit: Limit, difference: Difference | None, told: str) -> str:
    """Say what fits where the policy in force needs more visits than can be sent."""
    most = f"{limit.most:,.0f}"
    if difference is None:
        return (
            f"No line tried fits {most} visits a quarter: the strictest sends "
            f"{limit.strictest:,.0f}, the one in force {limit.in_force:,.0f}."
        )
    return (
        f"The policy in force sends {limit.in_force:,.0f} visits a quarter, more than the {most} "
        f"that can be sent. Of the lines that fit, {told} cost least: {saving(difference)} than "
        "those in force if all their visits were made."
    )


def _at_end(grid: Grid, costs: Costs, difference: Difference, told: str) -> str:
    chances = grid.probabilities
    if not chances[0] <= costs.break_even <= chances[-1]:
        return (
            f"Of those tried {told} costs least, {saving(difference)}; one beyond those would cost "
            "less still."
        )
    return (
        f"Not yet a choice to adopt: {told} is at an end of the chances tried, and rests on few "
        f"faults there. On these findings it costs {saving(difference)}. Recalibrate or have more "
        "devices examined (loadrise tune --plan), then tune again."
    )


def kept(asked: Consequences | None) -> str:
    """Say why the policy in force is kept where none other is proposed."""
    if asked is None or asked.cheaper is None:
        return "no other of those tried costs less on these findings."
    one = asked.cheaper
    if one.difference.is_told:
        return (
            f"{lines_of(one.lines)} costs {saving(one.difference)} taken by itself, but picked "
            "among many that is not told."
        )
    return (
        f"{lines_of(one.lines)} may cost {saving(one.difference)}; the findings cannot tell. "
        f"{more_findings(one.difference)}"
    )


def _pays(choice: Choice, difference: Difference, asked: Consequences) -> str:
    own = (
        " Lines of its own for a class were chosen on half of the panels and tried on the other."
        if choice.pick != choice.shared
        else " Interval, parts and steps are before that."
    )
    parts = f" {asked.further.sentence}" if asked.further else ""
    return (
        f"that costs {saving(difference)}. About {about(difference.flattery)} were taken off for "
        f"having picked among many.{own} The two differ on {difference.differing_count:,} devices, "
        f"about {100 * difference.faulty_share_among:.0f} % of them faulty; "
        f"{difference.examined_among:,} of these were examined.{parts}"
    )


def ends(difference: Difference) -> str:
    """Write what is saved more with its interval; what is less is named so."""
    value, low, high = (
        f"{about(abs(one))} {'more' if one >= 0 else 'less'}"
        for one in (difference.saved, difference.low, difference.high)
    )
    return f"{value} ({low} to {high})"


def saving(difference: Difference) -> str:
    """Write what is saved a quarter with its interval: less, or more where it costs more."""
    value, low, high = difference.saved, difference.low, difference.high
    if low < 0 < high:
        ends = f"{about(-low)} more to {about(high)} less"
    else:
        near, far = sorted((abs(low), abs(high)))
        ends = f"{about(near)} to {about(far)}"
    return (
        f"about {about(abs(value))} {'less' if value >= 0 else 'more'} a quarter (95 % interval "
        f"{ends})"
    )


def more_findings(difference: Difference) -> str:
    """Say how many more findings would tell a policy from the one in force, if any number would."""
    where = (
        f"among the {difference.differing_count:,} devices where the two differ "
        f"({difference.examined_among:,} of them examined so far)"
    )
    if difference.needed is None:
        return f"More findings would as soon speak for the one in force, {where}."
    return f"About {difference.needed:,} more findings would tell, {where}."


def asked(asked: Consequences, costs: Costs, which: str) -> list[str]:
    """Return when the proposed policy pays, step by step, and how steady the choice is."""
    found = []
    if asked.visits_per_fault > 0:
        low, high = asked.visits_per_fault_spread
        found = textwrap.wrap(
            f"It pays while a missed fault costs more than {asked.visits_per_fault:.1f} visits in "
            f"vain (95 % interval {low:.1f} to {high:.1f}): on the average each further fault "
            f"found takes about {about(asked.visits_per_fault * costs.visit)}.",
            TEXT_WIDTH,
        )
    head = (
        f"{'prob.':>7} {'ratio':>5} {'lift K':>6} {'load':>5}  {'visits/q':>8}  {'faults':>6} "
        f"{'in vain':>7} {'a fault':>7}  {'saved/q':>24}  best in"
    )
    pays = costs.missed / costs.visit
    return [
        *found,
        "",
        *textwrap.wrap(
            "Step by step, each against the row above, a quarter: more faults found, more visits "
            f"in vain, and visits in vain for each further fault (up to {pays:.1f} pay); saved is "
            "against the policy in force, before anything is taken off for picking; best in tells "
            "of 100 redrawn fleets.",
            TEXT_WIDTH,
        ),
        head,
        "-" * len(head),
        *(_step(one, "best shared" if which else "proposed") for one in asked.steps),
        "",
        *textwrap.wrap(stances(asked, costs, which), TEXT_WIDTH),
    ]


def _step(one: Step, pick: str) -> str:
    chance, ratio, lift, load = one.lines
    low, high = one.saved_spread
    saved = f"{about(one.saved)} ({about(low)} to {about(high)})"
    steps = ("–", "–", "–")
    if not math.isnan(one.found):
        each = one.visits_per_fault
        steps = (f"{one.found:.1f}", f"{one.in_vain:.1f}", f"{each:.0f}" if each < 1e4 else "–")
    marks = (
        (one.is_in_force, "in force"), (one.is_quieter, "surer"), (one.is_proposed, pick),
    )  # fmt: skip
    return (
        f"{chance:7.3g} {ratio:5g} {lift:6g} {100 * load:4.0f}%  {one.visits:8.1f}  "
        f"{steps[0]:>6} {steps[1]:>7} {steps[2]:>7}  {saved:>24}  {100 * one.best_in:7.0f}"
        f"{''.join(f'  {word}' for is_so, word in marks if is_so)}"
    )


def stances(asked: Consequences, costs: Costs, which: str) -> str:
    """Say which lines would be recommended were a missed fault cheaper or dearer."""
    parts = [
        f"{span(run, costs)} {lines_of(run[0].lines) if run[0].lines else KEEP}"
        for run in asked.runs
    ]
    return (
        f"Were a missed fault to cost another sum, the {which}lines would be: {'; '.join(parts)}."
    )


def span(run: tuple[Stance, Stance], costs: Costs) -> str:
    """Write from which to which cost of a missed fault a stance holds."""
    low, high = (about(one.factor * costs.missed, 3) for one in run)
    return f"at {low}" if low == high else f"from {low} to {high}"


def examinations(cells: Cells, now: Corrected) -> int:
    """Return how many of the rest, all found sound, would show that few faults are missed."""
    count, _, _ = cells.totals()
    rest = float(count[~cells.is_flagged].sum())
    rule = gamma_limits([1.0], [0])[1]
    missed = max(now.faulty_count, 1.0) * WANTED_MISSED / (1 - WANTED_MISSED)
    return int(min(rest, -(-rule * rest // missed)))


def lines_at(lines: Lines) -> str:
    """Write where lines lie, those of classes after those of all."""
    own = "".join(
        f"; for {name.replace('_', ' ')} devices {lines_of(four)}" for name, four in lines.own
    )
    return f"{lines_of(lines.shared)}{own}"


def lines_of(four: Four) -> str:
    """Write where four lines lie: chance, heat ratio, lift [K], load of rating."""
    chance, ratio, lift, load = four
    heat = "more than the usual heat" if ratio == 1 else f"{ratio:g} times the usual heat"
    gate = f", load from {100 * load:g} %" if load else ""
    return f"a chance of {100 * chance:.4g} %, {heat}, a lift of {lift:g} K{gate}"


def short(four: Four, beside: Four) -> str:
    """Write where four lines lie; the chance alone where only that differs from others named."""
    lone = four[1:] == beside[1:]
    return f"a chance of {100 * four[0]:.4g} %" if lone else lines_of(four)
