"""`tune`: findings gathered, every candidate weighed, and what to make of it in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from analytics.errors import NotEnoughDataError
from analytics.notices import Notice
from analytics.policy import Policy
from analytics.statistics.sourced import Array
from analytics.statistics.verification import Corrected, Rate, Table, corrected, naive
from analytics.tuning import words
from analytics.tuning.cells import (
    Bools,
    Cells,
    Grid,
    build_candidates,
    build_findings,
    load_cells,
    moved,
    screened_policy,
)
from analytics.tuning.choice import Costs, Difference, compare, cost_parts, frontier, least_cost
from analytics.tuning.estimate import around, correct
from analytics.tuning.reliability import Reliability, reliability
from analytics.warehouse import Warehouse

MOST_LINES = 12
"""Candidates shown; chosen to fit a screen."""


@dataclass(frozen=True)
class Candidate:
    """One policy: its lines (chance and ratio [1], lift [K], load of rating [1]) and what it does.

    Shares [1] with 95 % intervals; missed faults, wasted visits and cost are per quarter.
    """

    probability: float
    heat_ratio: float
    lift_k: float
    load_share: float
    flags_per_100_panels: float
    sensitivity: Rate
    false_alarm_share: Rate
    missed: float
    wasted: float
    cost: float | None
    is_in_force: bool
    is_least_cost: bool


@dataclass(frozen=True)
class Margin:
    """One class, load band or office: how many flagged and examined, and what is caught there."""

    subject: str
    level: str
    flagged: int
    examined: int
    faulty: int
    sensitivity: Rate


@dataclass(frozen=True)
class Found:
    """How the findings came to their readings: how many count, are set aside, contradict."""

    counted: int
    faulty: int
    set_aside: tuple[tuple[str, str, int], ...]
    contradictions: int


@dataclass(frozen=True)
class Tuned:
    """What the findings say of the policy in force and of the candidates."""

    policy_version: str
    readings: int
    outside: int
    panels: int
    quarters: int
    found: Found
    in_force: Corrected
    naive_sensitivity: Rate
    margins: tuple[Margin, ...]
    reliability: Reliability | None
    candidates: tuple[Candidate, ...]
    difference: Difference | None
    recommended: Policy | None
    sentence: str
    notices: tuple[Notice, ...]

    def lines(self) -> list[str]:
        """Return it in plain words, the sentence that matters first."""
        return words.lines(self)


@dataclass(frozen=True)
class _Weighed:
    cells: Cells
    grid: Grid
    flags: Bools
    place: int
    missed: Array
    wasted: Array


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
    quarters, panels, readings, outside = warehouse.row("tuning.span")[:4]
    best = _best(weighed, costs)
    difference = None
    if costs and best is not None and best != weighed.place and not _is_blind(weighed.cells):
        pair = (best, weighed.place)
        difference = compare(weighed.cells, weighed.flags, pair, costs, quarters)
    is_recommended = difference is not None and difference.is_told
    return Tuned(
        policy.version,
        readings,
        outside,
        panels,
        quarters,
        found,
        now,
        naive(_table(weighed.cells)),
        _margins(warehouse),
        reliability(warehouse),
        _candidates(weighed, costs, best, (quarters, panels)),
        difference,
        moved(policy, weighed.grid.lines[best]) if is_recommended and best is not None else None,
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


def _weigh(warehouse: Warehouse, policy: Policy, strata: Sequence[str]) -> _Weighed:
    grid = Grid.around(policy)
    cells = load_cells(warehouse, grid, strata)
    flags = cells.flagged_by(grid)
    return _Weighed(
        cells, grid, flags, grid.place(policy), *cost_parts(cells, flags, cells.totals())
    )


def _is_blind(cells: Cells) -> bool:
    """Tell whether none of the devices that were not flagged was examined."""
    return float(cells.totals()[1][~cells.is_flagged].sum()) == 0


def _best(weighed: _Weighed, costs: Costs | None) -> int | None:
    if costs is None:
        return None
    cost = costs.missed * weighed.missed + costs.visit * weighed.wasted
    return least_cost(cost, weighed.place, weighed.flags)


def _is_edge(weighed: _Weighed, best: int | None) -> bool:
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


def _margins(warehouse: Warehouse) -> tuple[Margin, ...]:
    found = []
    for subject, level, *counts in warehouse.rows("tuning.margin"):
        flagged, clear = counts[:3], counts[3:]
        faulty = flagged[0] + clear[0]
        examined = faulty + flagged[1] + clear[1]
        unknown = Rate(float("nan"), 0.0, 1.0)
        rate = corrected(Table.of(flagged, clear)).sensitivity if faulty else unknown
        found.append(Margin(str(subject), str(level), sum(flagged), examined, faulty, rate))
    return tuple(found)


def _candidates(
    weighed: _Weighed, costs: Costs | None, best: int | None, per: tuple[int, int]
) -> tuple[Candidate, ...]:
    """Return the candidates worth seeing: the frontier thinned out, in force, and of least cost."""
    line = frontier(weighed.missed, weighed.wasted)
    picks = np.unique(np.linspace(0, len(line) - 1, min(MOST_LINES, len(line))).astype(int))
    shown = (
        {line[int(i)] for i in picks} | {weighed.place} | ({best} if best is not None else set())
    )
    ordered = sorted(shown, key=lambda one: (weighed.wasted[one], weighed.missed[one]))
    return tuple(_candidate(weighed, costs, one, best, per) for one in ordered)


def _candidate(
    weighed: _Weighed, costs: Costs | None, one: int, best: int | None, per: tuple[int, int]
) -> Candidate:
    quarters, panels = per
    flags = weighed.flags[one]
    count = weighed.cells.totals()[0]
    missed, wasted = float(weighed.missed[one]), float(weighed.wasted[one])
    caught = float(count[flags].sum()) - wasted
    sound = float(count.sum()) - caught - missed
    found = correct(weighed.cells, flags)
    cost = (costs.missed * missed + costs.visit * wasted) / quarters if costs else None
    return Candidate(
        *weighed.grid.lines[one],
        flags_per_100_panels=100 * float(count[flags].sum()) / panels,
        sensitivity=around(found.sensitivity, caught / (caught + missed)),
        false_alarm_share=around(found.false_alarm_share, wasted / sound),
        missed=missed / quarters,
        wasted=wasted / quarters,
        cost=cost,
        is_in_force=one == weighed.place,
        is_least_cost=one == best,
    )
