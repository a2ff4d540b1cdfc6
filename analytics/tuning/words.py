"""What tuning says: the sentence first, then the table, then what to know about it."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from analytics.notices import Notice
from analytics.statistics.verification import Corrected, Rate
from analytics.tuning import advice, classes
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
    from analytics.tuning.choice import Costs
    from analytics.tuning.margins import Margin
    from analytics.tuning.redrawn import Weighed
    from analytics.tuning.report import Tuned

SLOPES = (0.8, 1.25)
"""Slopes of found on stated log odds between which chances count as right [1]; chosen."""


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


def _asked(tuned: Tuned) -> list[str]:
    if tuned.consequences is None or tuned.costs is None or tuned.difference is None:
        return []
    is_own = any(one.is_proposed for one in tuned.classes)
    return advice.asked(tuned.consequences, tuned.costs, "shared " if is_own else "")


def _reliability(tuned: Tuned) -> list[str]:
    if tuned.reliability is None:
        return []
    head, *bands = tuned.reliability.lines()
    slope = tuned.reliability.slope
    is_off = slope is not None and not SLOPES[0] <= slope <= SLOPES[1]
    more = (
        textwrap.wrap(
            "loadrise recalibrate --same-flags tells whether the findings would mend them; the "
            "same devices are flagged then, and the same lines proposed.",
            TEXT_WIDTH,
        )
        if is_off
        else []
    )
    return [*textwrap.wrap(head, TEXT_WIDTH), *bands, *more]


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
    mark += "  surer" if one.is_quieter else ""
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
