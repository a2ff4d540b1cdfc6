"""`tune`: findings gathered, every candidate weighed, and what to make of it in plain words."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass

from analytics.errors import NotEnoughDataError
from analytics.notices import Notice
from analytics.policy import Policy
from analytics.statistics.verification import Corrected, Rate, Table, naive
from analytics.tuning import advice, words
from analytics.tuning.agreement import agreement
from analytics.tuning.candidates import Candidate, candidates
from analytics.tuning.cells import (
    LEAST_LIFT_K,
    Cells,
    Grid,
    build_candidates,
    build_findings,
    load_cells,
    screened_policy,
)
from analytics.tuning.choice import Choice, Costs, Difference, choose
from analytics.tuning.classes import ClassLines, class_lines
from analytics.tuning.consequences import Consequences, consequences
from analytics.tuning.estimate import correct
from analytics.tuning.examined import load_examined
from analytics.tuning.lines import Lines
from analytics.tuning.margins import Margin, margins
from analytics.tuning.openings import Openings, openings
from analytics.tuning.proposal import Proposal, propose
from analytics.tuning.recalibration import stated_slope
from analytics.tuning.redrawn import Weighed, weigh
from analytics.tuning.reliability import Reliability, reliability
from analytics.warehouse import Warehouse

LIFT_STEP_K = 0.5
"""Steps to which the least lift tried is rounded up [K]; chosen: a reading has no more digits."""


@dataclass(frozen=True)
class Span:
    """What the readings cover that a policy can flag; `outside` are those that none can."""

    quarters: int
    panels: int
    readings: int
    outside: int
    flagged: int
    policy_version: str
    baseline_version: str
    first_on: dt.date
    last_on: dt.date


@dataclass(frozen=True)
class Found:
    """How the findings came to their readings: how many count, are set aside, contradict.

    `outside_*` are of readings that no policy can flag, `unclamped` those without a current.
    """

    counted: int
    faulty: int
    unclamped: int
    outside_examined: int
    outside_faulty: int
    set_aside: tuple[tuple[str, str, int], ...]
    contradictions: int


@dataclass(frozen=True)
class Tuned:
    """What the findings say of the policy in force and of the candidates.

    `wanted` is how many of the devices not flagged should be examined where none was, 0 elsewhere;
    `surer` is a policy between the one in force and that recommended whose saving is surest;
    `open` are those not flagged that a visit would pay for, None without costs;
    `least_lift_k` is the least lift tried, and `most_visits` a quarter what the firm can send.
    """

    span: Span
    costs: Costs | None
    found: Found
    in_force: Corrected
    naive_sensitivity: Rate
    margins: tuple[Margin, ...]
    reliability: Reliability | None
    candidates: tuple[Candidate, ...]
    choice: Choice | None
    difference: Difference | None
    consequences: Consequences | None
    recommended: Policy | None
    surer: Policy | None
    least_lift_k: float
    most_visits: float | None
    classes: tuple[ClassLines, ...]
    wanted: int
    sentence: str
    notices: tuple[Notice, ...]
    open: Openings | None = None

    def lines(self) -> list[str]:
        """Return it in plain words, the sentence that matters first."""
        return words.lines(self)


def tune(
    warehouse: Warehouse,
    costs: Costs | None = None,
    strata: Sequence[str] = (),
    *,
    most_visits: float | None = None,
    is_guess_accepted: bool = False,
    is_shared: bool = False,
) -> Tuned:
    """Weigh every policy of the grid on the findings; the store may be open to be read only.

    The policy in force is weighed as it is, with the lines that classes have of their own in it.
    What is proposed has lines of their own for the classes that are told to gain by them, unless
    it is held to shared ones with `is_shared`; see `analytics.tuning.proposal`.

    Whether a device was examined may depend on its evidence, on whether it was flagged and on the
    `strata` named (of class, load, office), and on nothing else that tells of a fault: where the
    examined were picked by smell or sound, the corrected shares are off. Without costs nothing is
    recommended; policies that need more than `most_visits` a quarter are not considered. Raises
    NotEnoughDataError before a screening, or where no fault was ever found.
    """
    policy, found, span = _lay_out(warehouse, is_guess_accepted=is_guess_accepted)
    grid = Grid.around(policy, least_lift_k := _least_lift_k(warehouse))
    weighed = weigh(load_cells(warehouse, grid, strata), grid, Lines.of(policy))
    now = correct(weighed.cells, weighed.cells.is_flagged)
    parts, remarks = margins(warehouse, weighed.faults)
    limit = (span.quarters, most_visits)
    is_blind = _is_blind(weighed.cells)
    best = None if costs is None or is_blind else _propose(weighed, costs, limit, is_shared)
    shown, choice = (best.weighed, best.choice) if best else (weighed, None)
    asked = consequences(shown, choice, costs, limit, weighed) if choice and costs else None
    return Tuned(
        span,
        costs,
        found,
        now,
        naive(_table(weighed.cells)),
        parts,
        reliability(warehouse, stated_slope(load_examined(warehouse, policy))),
        candidates(shown, costs, choice, (span.quarters, span.panels)),
        choice,
        choice.difference if choice else None,
        asked,
        *_adoptable(shown, choice, policy),
        least_lift_k,
        most_visits,
        best.classes if best else (),
        advice.examinations(weighed.cells, now) if is_blind else 0,
        advice.sentence(shown, now, costs, choice, asked),
        (*words.notices(warehouse, now, weighed, limit, costs), *remarks),
        openings(warehouse, costs) if costs else None,
    )


def _adoptable(
    weighed: Weighed, choice: Choice | None, policy: Policy
) -> tuple[Policy | None, Policy | None]:
    """Return the policy recommended, and the surer one on the way to it."""
    if choice is None or not choice.is_recommended:
        return None, None
    places = (choice.pick, choice.quieter)
    best, surer = (None if one is None else weighed.lines(one).put_into(policy) for one in places)
    return best, surer


def _lay_out(warehouse: Warehouse, *, is_guess_accepted: bool) -> tuple[Policy, Found, Span]:
    """Lay out findings and candidates; return the policy the verdicts rest on, counts and span."""
    policy = screened_policy(warehouse)
    build_findings(warehouse, is_guess_accepted=is_guess_accepted)
    build_candidates(warehouse, policy)
    return policy, _found(warehouse), Span(*warehouse.row("tuning.span"))


def _propose(
    weighed: Weighed, costs: Costs, limit: tuple[int, float | None], is_shared: bool
) -> Proposal:
    """Choose the shared lines, try every class's own, and put together what is proposed."""
    choice = choose(weighed, costs, *limit)
    trials = class_lines(weighed, costs, limit)
    return propose(weighed, choice, trials, costs, limit, is_shared=is_shared)


def _found(warehouse: Warehouse) -> Found:
    warehouse.build("tuning.contradiction")
    rows = warehouse.rows("tuning.match_count")
    counted = warehouse.fetch(
        "select count(*), count(*) filter (where is_fault) from tuning.candidate where is_examined"
    )[0]
    if not counted[0]:
        raise NotEnoughDataError(
            "No finding could be set against a reading that has a verdict.",
            "Ingest the electricians' findings; see loadrise tune --help for what they need.",
        )
    aside = tuple((str(code), str(by), int(count)) for by, code, count, _ in rows if code)
    other = warehouse.fetch("select count(*) from tuning.contradiction")[0][0]
    unclamped, examined, faulty = (int(one) for one in warehouse.row("tuning.outside"))
    return Found(int(counted[0]), int(counted[1]), unclamped, examined, faulty, aside, int(other))


def _least_lift_k(warehouse: Warehouse) -> float:
    """Return the spread of one reading that repeated scans tell, rounded up, or the usual least."""
    same = agreement(warehouse).same_way
    if same is None:
        return LEAST_LIFT_K
    return max(LEAST_LIFT_K, LIFT_STEP_K * math.ceil(round(same.value_k / LIFT_STEP_K, 6)))


def _is_blind(cells: Cells) -> bool:
    """Tell whether none of the devices that were not flagged was examined."""
    return float(cells.totals()[1][~cells.is_flagged].sum()) == 0


def _table(cells: Cells) -> Table:
    """Return the plain table of the policy in force, strata put together."""
    count, examined, faulty = cells.totals()
    sides = (
        tuple(float(x[mask].sum()) for x in (faulty, examined - faulty, count - examined))
        for mask in (cells.is_flagged, ~cells.is_flagged)
    )
    return Table.of(*sides)
