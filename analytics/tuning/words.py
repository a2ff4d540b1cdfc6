"""What tuning says: the sentence first, then the table, then what to know about it."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from analytics.notices import Notice
from analytics.statistics.few_events import gamma_limits
from analytics.statistics.verification import Corrected, Rate
from analytics.tuning import classes
from analytics.tuning.telling import (
    CODES,
    TEXT_WIDTH,
    about,
    contradict,
    dear_visit,
    findings,
    level_word,
    open_lines,
    unreachable,
)
from analytics.warehouse import Warehouse

if TYPE_CHECKING:
    from analytics.tuning.candidates import Candidate
    from analytics.tuning.cells import Cells
    from analytics.tuning.choice import Choice, Costs, Difference
    from analytics.tuning.lines import Four, Lines
    from analytics.tuning.margins import Margin
    from analytics.tuning.redrawn import Weighed
    from analytics.tuning.report import Tuned

SLOPES = (0.8, 1.25)
"""Slopes of found on stated log odds between which chances count as right [1]; chosen."""
WANTED_MISSED = 0.2
"""Share of faults missed that an examination of the rest should be able to rule out [1]; chosen."""


def sentence(weighed: Weighed, now: Corrected, costs: Costs | None, choice: Choice | None) -> str:
    """Return what to do and why, or why it cannot be told and what would tell it."""
    if costs is None:
        return (
            "No policy is recommended without the firm's own costs: give --missed-cost and "
            "--visit-cost."
        )
    if choice is None:
        return (
            "No policy can be recommended: none of the devices that were not flagged was examined, "
            f"so nobody knows what is missed. Have {examinations(weighed.cells, now):,} of them "
            "examined; loadrise tune --plan draws them."
        )
    difference = choice.difference
    if difference is None:
        return "Keep the policy in force: no other of the grid costs less on these findings."
    told = lines_at(weighed.lines(choice.pick))
    if choice.is_recommended:
        return f"Draw the lines at {told}: {_pays(choice, difference)}"
    if difference.is_told:
        return (
            f"Not yet a choice to adopt: {told} is at an end of the lines tried, and rests on few "
            f"faults there. On these findings it costs {_saving(difference)} Recalibrate or have "
            "more devices examined (loadrise tune --plan), then tune again."
        )
    return (
        f"The findings cannot tell {told} from the policy in force: it may cost "
        f"{_saving(difference)} Keep the policy in force. About "
        f"{difference.needed:,} more findings would tell, among the {difference.differing_count:,} "
        f"devices where the two differ ({difference.examined_among:,} of them examined so far)."
    )


def _saving(difference: Difference) -> str:
    return (
        f"about {about(difference.saved)} less a quarter (95 % interval {about(difference.low)} to "
        f"{about(difference.high)})."
    )


def _pays(choice: Choice, difference: Difference) -> str:
    others = (
        f" Of {choice.alike:,} policies within one standard error of the least cost it sends the "
        "fewest visits in vain."
        if choice.pick == choice.shared != choice.least
        else ""
    )
    own = (
        " Lines of its own for a class were chosen on half of the panels and tried on the other."
        if choice.pick != choice.shared
        else ""
    )
    return (
        f"that costs {_saving(difference)} About {about(difference.flattery)} were taken off for "
        f"having picked among many.{others}{own} The two differ on {difference.differing_count:,} "
        f"devices, about {100 * difference.faulty_share_among:.0f} % of them faulty; "
        f"{difference.examined_among:,} of these were examined."
    )


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
        f"; for {name.replace('_', ' ')} devices {_four(four)}" for name, four in lines.own
    )
    return f"{_four(lines.shared)}{own}"


def _four(four: Four) -> str:
    chance, ratio, lift, load = four
    gate = f", load {100 * load:g} % or more" if load else ""
    return f"a chance of {100 * chance:g} %, heat ratio {ratio:g}, lift {lift:g} K{gate}"


def notices(
    warehouse: Warehouse,
    now: Corrected,
    weighed: Weighed,
    limit: tuple[int, float | None],
    costs: Costs | None = None,
) -> tuple[Notice, ...]:
    """Return what the reader should know before trusting the numbers.

    `limit` holds the quarters that the readings span, and how many visits a quarter can be sent.
    """
    found = dear_visit(costs)
    if now.sensitivity.is_bound:
        found.append(
            Notice(
                "bound_only",
                "In some stratum none of the devices not flagged was examined: the sensitivity is "
                "only known to lie between two ends, from all of them faulty to none.",
            )
        )
    quarters, most = limit
    flagged = float(weighed.cells.totals()[0][weighed.flags[weighed.place]].sum()) / quarters
    if most is not None and flagged > most:
        found.append(
            Notice(
                "over_capacity",
                f"The policy in force itself flags {flagged:,.0f} devices a quarter, more than the "
                f"{most:,.0f} visits that can be sent.",
            )
        )
    versions = warehouse.fetch("select distinct baseline_version from screening.result")
    last = warehouse.fetch(
        "select baseline_version from records.baseline_version order by fitted_at desc limit 1"
    )
    if last and versions != last:
        found.append(Notice("older_baseline", "A baseline was fitted since: screen, then tune."))
    return tuple(found)


def lines(tuned: Tuned) -> list[str]:
    """Return the whole result as lines."""
    told_basis = [line for one in basis(tuned) for line in textwrap.wrap(one, TEXT_WIDTH)]
    return [
        *textwrap.wrap(tuned.sentence, TEXT_WIDTH),
        "",
        *textwrap.wrap(unreachable(tuned.span, tuned.found), TEXT_WIDTH),
        *open_lines(tuned.open),
        "",
        *told_basis,
        *_asked(tuned),
        "",
        *_table(tuned.candidates),
        "",
        *_margin_lines(tuned.margins),
        "",
        *([*_class_lines(tuned), ""] if tuned.classes else []),
        *_reliability(tuned),
        *([""] if tuned.notices else []),
        *(notice.sentence for notice in tuned.notices),
    ]


def _class_lines(tuned: Tuned) -> list[str]:
    """Say of every class whether lines of its own pay, and then whether any are proposed."""
    return [*classes.words(tuned.classes), classes.sentence(tuned.classes)]


def _reliability(tuned: Tuned) -> list[str]:
    if tuned.reliability is None:
        return []
    head, *bands = tuned.reliability.lines()
    slope = tuned.reliability.slope
    is_off = slope is not None and not SLOPES[0] <= slope <= SLOPES[1]
    more = ["loadrise recalibrate tells whether the findings would mend them."] if is_off else []
    return [*textwrap.wrap(head, TEXT_WIDTH), *bands, *more]


def _asked(tuned: Tuned) -> list[str]:
    """Say when the proposed policy pays, and what would be proposed at other costs."""
    asked, costs = tuned.consequences, tuned.costs
    if asked is None or costs is None or tuned.difference is None:
        return []
    parts = []
    if asked.visits_per_fault > 0:
        low, high = asked.visits_per_fault_spread
        parts.append(
            f"It pays while a missed fault costs more than {asked.visits_per_fault:.1f} visits in "
            f"vain (95 % interval {low:.1f} to {high:.1f}): each further fault found takes about "
            f"{about(asked.visits_per_fault * costs.visit)}."
        )
    for one in asked.stances:
        them = "the shared ones" if any(c.is_proposed for c in tuned.classes) else "them"
        what = "nothing is told" if one.lines is None else f"draw {them} at {_four(one.lines)}"
        parts.append(f"At {one.factor:g} times the cost of a missed fault: {what}.")
    return textwrap.wrap(" ".join(parts), TEXT_WIDTH)


def basis(tuned: Tuned) -> list[str]:
    """Return what the result rests on, in sentences."""
    found, span = tuned.found, tuned.span
    now = next(one for one in tuned.candidates if one.is_in_force)
    shares = (
        (tuned.in_force.sensitivity, tuned.in_force.false_alarm_share, tuned.in_force.wasted_share)
        if tuned.in_force.sensitivity.is_bound
        else (now.sensitivity, now.false_alarm_share, now.wasted_share)
    )
    rows = [
        f"{found.counted:,} findings, {found.faulty:,} of them a fault, on {span.readings:,} "
        f"readings that a policy can flag, of {span.panels:,} panels in {span.quarters} "
        "quarters.",
        f"Policy {span.policy_version}: {told(shares[0])} of the faults are flagged, "
        "corrected for who was examined (among the examined alone "
        f"{told(tuned.naive_sensitivity)}, which flatters); {told(shares[1], 2)} of "
        f"sound devices are flagged; {told(shares[2])} of the flagged are sound.",
        f"No lift under {tuned.least_lift_k:g} K was tried: so far readings of one device lie "
        "apart. A visit is one flagged device; one that finds a fault counts as paid for.",
    ]
    for code, matched_by, count in found.set_aside:
        guess = f" (by {matched_by})" if code == "guess_not_confirmed" else ""
        rows.append(f"Set aside: {findings(count)} {CODES[code]}{guess}.")
    if found.contradictions:
        rows.append(
            f"{contradict(found.contradictions)}: a fault that was found stands against a later "
            "look that found none, else the later counts (loadrise tune --findings)."
        )
    return rows


def told(rate: Rate, digits: int = 0) -> str:
    """Return a share as per cent with its interval; a bound says so."""
    low, high = 100 * rate.low, 100 * rate.high
    if rate.is_bound:
        return f"between {low:.{digits}f} and {high:.{digits}f} %"
    return f"{100 * rate.value:.{digits}f} % ({low:.{digits}f} to {high:.{digits}f})"


def _table(candidates: tuple[Candidate, ...]) -> list[str]:
    head = (
        f"{'chance':>7} {'ratio':>5} {'lift K':>6} {'load':>5}  {'flags/100':>9}  "
        f"{'faults flagged':>17}  {'sound flagged':>19}  {'missed/q':>8} {'vain/q':>8} "
        f"{'cost/q':>10}"
    )
    return [head, "-" * len(head), *(_row(one) for one in candidates)]


def _row(one: Candidate) -> str:
    cost = "–" if one.cost is None else about(one.cost, 3)
    names = ", ".join(dict.fromkeys(name.replace("_", " ") for name, _, _ in one.own))
    mark = "  in force" if one.is_in_force else ""
    mark += "  least cost" if one.is_least_cost else ""
    mark += "  proposed" if one.is_proposed and not one.is_in_force else ""
    mark += "  best shared" if one.is_best_shared and not one.is_proposed else ""
    mark += f"  own lines: {names}" if names else ""
    return (
        f"{100 * one.probability:5g} % {one.heat_ratio:5g} {one.lift_k:6g} "
        f"{100 * one.load_share:4.0f}%  "
        f"{one.flags_per_100_panels:9.1f}  {told(one.sensitivity):>17}  "
        f"{told(one.false_alarm_share, 2):>19}  {one.missed:8.1f} {one.wasted:8.1f} {cost:>10}"
        f"{mark}"
    )


def _margin_lines(margins: tuple[Margin, ...]) -> list[str]:
    head = f"  {'by':<7}{'':<18}{'flagged':>8}{'examined':>10}{'faults':>8}  faults flagged"
    rows = []
    for one in margins:
        level = level_word(one.subject, one.level)
        counts = f"{one.flagged:>8,}{one.examined:>10,}{one.faulty:>8,}"
        share = told(one.sensitivity) if one.faulty else "no fault found"
        rows.append(f"  {one.subject:<7}{level:<18}{counts}  {share}")
    return ["The policy in force by class, band of load and office:", head, *rows]
