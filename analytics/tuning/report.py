"""`tune`: findings gathered, every candidate weighed, and what to make of it in plain words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from analytics.errors import NotEnoughDataError
from analytics.notices import Notice
from analytics.policy import Policy
from analytics.statistics.verification import Corrected, Rate, Table, naive
from analytics.tuning import words
from analytics.tuning.candidates import Candidate, Weighed, candidates
from analytics.tuning.cells import (
    Cells,
    Grid,
    build_candidates,
    build_findings,
    load_cells,
    moved,
    screened_policy,
)
from analytics.tuning.choice import Costs, Difference, compare, cost_parts, least_cost
from analytics.tuning.classes import ClassLines, class_lines
from analytics.tuning.estimate import correct
from analytics.tuning.margins import Margin, margins
from analytics.tuning.reliability import Reliability, reliability
from analytics.warehouse import Warehouse


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
    """How the findings came to their readings: how many count, are set aside, contradict."""

    counted: int
    faulty: int
    set_aside: tuple[tuple[str, str, int], ...]
    contradictions: int


@dataclass(frozen=True)
class Tuned:
    """What the findings say of the policy in force and of the candidates.

    `wanted` is how many of the devices not flagged should be examined where none was, 0 elsewhere.
    """

    span: Span
    costs: Costs | None
    found: Found
    in_force: Corrected
    naive_sensitivity: Rate
    margins: tuple[Margin, ...]
    reliability: Reliability | None
    candidates: tuple[Candidate, ...]
    difference: Difference | None
    recommended: Policy | None
    classes: tuple[ClassLines, ...]
    wanted: int
    sentence: str
    notices: tuple[Notice, ...]

    def lines(self) -> list[str]:
        """Return it in plain words, the sentence that matters first."""
        return words.lines(self)


def tune(
    warehouse: Warehouse,
    costs: Costs | None = None,
    strata: Sequence[str] = (),
    *,
    is_guess_accepted: bool = False,
) -> Tuned:
    """Weigh every policy of the grid on the findings; the store may be open to be read only.

    Whether a device was examined may depend on its evidence, on whether it was flagged and on the
    `strata` named (of class, load, office), and on nothing else that tells of a fault: where the
    examined were picked by smell or sound, the corrected shares are off. Without costs nothing is
    recommended. Raises NotEnoughDataError before a screening, or where no fault was ever found.
    """
    policy = screened_policy(warehouse)
    build_findings(warehouse, is_guess_accepted=is_guess_accepted)
    build_candidates(warehouse, policy)
    found = _found(warehouse)
    weighed = _weigh(warehouse, policy, strata)
    now = correct(weighed.cells, weighed.cells.is_flagged)
    span = Span(*warehouse.row("tuning.span"))
    best = _best(weighed, costs)
    difference = None
    is_blind = _is_blind(weighed.cells)
    if costs and best is not None and best != weighed.place and not is_blind:
        pair = (best, weighed.place)
        difference = compare(weighed.cells, weighed.flags, pair, costs, span.quarters)
    is_recommended = difference is not None and difference.is_told
    return Tuned(
        span,
        costs,
        found,
        now,
        naive(_table(weighed.cells)),
        margins(warehouse),
        reliability(warehouse),
        candidates(weighed, costs, best, (span.quarters, span.panels)),
        difference,
        moved(policy, weighed.grid.lines[best]) if is_recommended and best is not None else None,
        _classes(warehouse, weighed, costs, span.quarters) if costs and not is_blind else (),
        words.examinations(weighed.cells, now) if is_blind else 0,
        words.sentence(weighed.cells, weighed.grid, now, (best, weighed.place), difference),
        words.notices(warehouse, now, difference is not None and _is_edge(weighed, best)),
    )


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
    return Found(int(counted[0]), int(counted[1]), aside, int(other))


def _weigh(warehouse: Warehouse, policy: Policy, strata: Sequence[str]) -> Weighed:
    grid = Grid.around(policy)
    cells = load_cells(warehouse, grid, strata)
    flags = cells.flagged_by(grid)
    return Weighed(
        cells, grid, flags, grid.place(policy), *cost_parts(cells, flags, cells.totals())
    )


def _classes(
    warehouse: Warehouse, weighed: Weighed, costs: Costs, quarters: int
) -> tuple[ClassLines, ...]:
    """Weigh lines for each class of its own."""
    cells = load_cells(warehouse, weighed.grid, ("class",))
    return class_lines(cells, weighed.grid, weighed.place, costs, quarters)


def _is_blind(cells: Cells) -> bool:
    """Tell whether none of the devices that were not flagged was examined."""
    return float(cells.totals()[1][~cells.is_flagged].sum()) == 0


def _best(weighed: Weighed, costs: Costs | None) -> int | None:
    if costs is None:
        return None
    cost = costs.missed * weighed.missed + costs.visit * weighed.wasted
    return least_cost(cost, weighed.place, weighed.flags)


def _is_edge(weighed: Weighed, best: int | None) -> bool:
    """Tell whether the least-cost policy has its chance at an end of the grid."""
    tried = weighed.grid.probabilities
    return best is not None and weighed.grid.lines[best][0] in (tried[0], tried[-1])


def _table(cells: Cells) -> Table:
    """Return the plain table of the policy in force, strata put together."""
    count, examined, faulty = cells.totals()
    sides = (
        tuple(float(x[mask].sum()) for x in (faulty, examined - faulty, count - examined))
        for mask in (cells.is_flagged, ~cells.is_flagged)
    )
    return Table.of(*sides)
