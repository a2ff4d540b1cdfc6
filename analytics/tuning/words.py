"""What tuning says: the sentence first, then the table, then what to know about it."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from analytics.notices import Notice
from analytics.statistics.few_events import gamma_limits
from analytics.statistics.verification import Corrected, Rate
from analytics.tuning import classes
from analytics.warehouse import Warehouse

if TYPE_CHECKING:
    from analytics.tuning.candidates import Candidate
    from analytics.tuning.cells import Cells, Grid
    from analytics.tuning.choice import Difference
    from analytics.tuning.margins import Margin
    from analytics.tuning.report import Tuned

CODES = {
    "no_reading_of_it": "of a reading that was never read in",
    "guess_not_confirmed": "guessed to belong to a reading; confirm with --accept-guesses",
    "not_by_licensed": "not by a licensed electrician",
}
"""Why a finding is set aside, in plain words."""
TEXT_WIDTH = 100
"""Width at which sentences are broken, in characters; as the command line's."""
SLOPES = (0.8, 1.25)
"""Slopes of found on stated log odds between which chances count as right [1]; chosen."""
WANTED_MISSED = 0.2
"""Share of faults missed that an examination of the rest should be able to rule out [1]; chosen."""


def sentence(
    cells: Cells,
    grid: Grid,
    now: Corrected,
    pair: tuple[int | None, int],
    difference: Difference | None,
) -> str:
    """Return what to do and why, or why it cannot be told and what would tell it."""
    best, place = pair
    if best is None:
        return (
            "No policy is recommended without the firm's own costs: give --missed-cost and "
            "--visit-cost."
        )
    if not cells.totals()[1][~cells.is_flagged].sum():
        return (
            "No policy can be recommended: none of the devices that were not flagged was examined, "
            f"so nobody knows what is missed. Have {examinations(cells, now):,} of them examined; "
            "loadrise tune --plan draws them."
        )
    if best == place:
        return "Keep the policy in force: no other of the grid costs less on these findings."
    assert difference is not None
    told = _lines(grid, best)
    if difference.is_told:
        return (
            f"Draw the lines at {told}: that costs {difference.saved:,.0f} less a quarter than the "
            f"policy in force (95 % interval {difference.low:,.0f} to {difference.high:,.0f}). The "
            f"two differ on {difference.differing_count:,} devices, about "
            f"{100 * difference.faulty_share_among:.0f} % of them faulty; "
            f"{difference.examined_among:,} of these were examined."
        )
    return (
        f"The findings cannot tell {told} from the policy in force: it may cost "
        f"{difference.saved:,.0f} less a quarter, but the 95 % interval runs from "
        f"{difference.low:,.0f} to {difference.high:,.0f}. Keep the policy in force. About "
        f"{difference.needed:,} more findings would tell, among the {difference.differing_count:,} "
        f"devices where the two differ ({difference.examined_among:,} of them examined so far)."
    )


def examinations(cells: Cells, now: Corrected) -> int:
    """Return how many of the rest, all found sound, would show that few faults are missed."""
    count, _, _ = cells.totals()
    rest = float(count[~cells.is_flagged].sum())
    rule = gamma_limits([1.0], [0])[1]
    missed = max(now.faulty_count, 1.0) * WANTED_MISSED / (1 - WANTED_MISSED)
    return int(min(rest, -(-rule * rest // missed)))


def _lines(grid: Grid, place: int) -> str:
    chance, ratio, lift, load = grid.lines[place]
    gate = f", load {100 * load:g} % or more" if load else ""
    return f"probability {chance:g}, heat ratio {ratio:g}, lift {lift:g} K{gate}"


def notices(warehouse: Warehouse, now: Corrected, is_at_edge: bool) -> tuple[Notice, ...]:
    """Return what the reader should know before trusting the numbers."""
    found = []
    if now.sensitivity.is_bound:
        found.append(
            Notice(
                "bound_only",
                "In some stratum none of the devices not flagged was examined: the sensitivity is "
                "a bound, from all of them faulty to none.",
            )
        )
    if is_at_edge:
        found.append(
            Notice(
                "edge_of_grid",
                "The least-cost policy has its probability at the end of the grid; one beyond may "
                "cost less.",
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
    basis = [line for one in _basis(tuned) for line in textwrap.wrap(one, TEXT_WIDTH)]
    return [
        *textwrap.wrap(tuned.sentence, TEXT_WIDTH),
        "",
        *basis,
        "",
        *_table(tuned.candidates),
        "",
        *_margin_lines(tuned.margins),
        "",
        *([*classes.words(tuned.classes), ""] if tuned.classes else []),
        *_reliability(tuned),
        *([""] if tuned.notices else []),
        *(notice.sentence for notice in tuned.notices),
    ]


def _reliability(tuned: Tuned) -> list[str]:
    if tuned.reliability is None:
        return []
    head, *bands = tuned.reliability.lines()
    slope = tuned.reliability.slope
    is_off = slope is not None and not SLOPES[0] <= slope <= SLOPES[1]
    more = ["loadrise recalibrate tells whether the findings would mend them."] if is_off else []
    return [*textwrap.wrap(head, TEXT_WIDTH), *bands, *more]


def _basis(tuned: Tuned) -> list[str]:
    found, now, span = tuned.found, tuned.in_force, tuned.span
    rows = [
        f"{found.counted:,} findings, {found.faulty:,} of them a fault, on {span.readings:,} "
        f"readings that a policy can flag, of {span.panels:,} panels in {span.quarters} "
        f"quarters; {span.outside:,} without a current, or that contradict themselves, stand "
        "outside.",
        f"Policy {span.policy_version}: {told(now.sensitivity)} of the faults are flagged, "
        "corrected for who was examined (among the examined alone "
        f"{told(tuned.naive_sensitivity)}, which flatters); {told(now.false_alarm_share, 2)} of "
        f"sound devices are flagged; {told(now.wasted_share)} of the flagged are sound.",
    ]
    for code, matched_by, count in found.set_aside:
        guess = f" (by {matched_by})" if code == "guess_not_confirmed" else ""
        rows.append(f"Set aside: {_findings(count)} {CODES[code]}{guess}.")
    if found.contradictions:
        verb = "contradicts" if found.contradictions == 1 else "contradict"
        rows.append(f"{_findings(found.contradictions)} {verb} another; the later visit counts.")
    return rows


def _findings(count: int) -> str:
    return f"{count:,} finding{'' if count == 1 else 's'}"


def told(rate: Rate, digits: int = 0) -> str:
    """Return a share as per cent with its interval; a bound says so."""
    low, high = 100 * rate.low, 100 * rate.high
    if rate.is_bound:
        return f"between {low:.{digits}f} and {high:.{digits}f} %"
    return f"{100 * rate.value:.{digits}f} % ({low:.{digits}f} to {high:.{digits}f})"


def _table(candidates: tuple[Candidate, ...]) -> list[str]:
    head = (
        f"{'prob.':>6} {'ratio':>5} {'lift K':>6} {'load':>5}  {'flags/100':>9}  "
        f"{'faults flagged':>17}  {'sound flagged':>19}  {'missed/q':>8} {'wasted/q':>8} "
        f"{'cost/q':>10}"
    )
    return [head, "-" * len(head), *(_row(one) for one in candidates)]


def _row(one: Candidate) -> str:
    cost = "–" if one.cost is None else f"{one.cost:,.0f}"
    mark = "  in force" if one.is_in_force else ""
    mark += "  least cost" if one.is_least_cost else ""
    return (
        f"{one.probability:6g} {one.heat_ratio:5g} {one.lift_k:6g} {100 * one.load_share:4.0f}%  "
        f"{one.flags_per_100_panels:9.1f}  {told(one.sensitivity):>17}  "
        f"{told(one.false_alarm_share, 2):>19}  {one.missed:8.1f} {one.wasted:8.1f} {cost:>10}"
        f"{mark}"
    )


def _margin_lines(margins: tuple[Margin, ...]) -> list[str]:
    rows = [
        f"  {one.subject:<7}{one.level:<18}{one.flagged:>8,}{one.examined:>10,}{one.faulty:>8,}  "
        f"{told(one.sensitivity) if one.faulty else 'no fault found'}"
        for one in margins
    ]
    head = f"  {'by':<7}{'':<18}{'flagged':>8}{'examined':>10}{'faults':>8}  faults flagged"
    return ["The policy in force by class, band of load and office:", head, *rows]
