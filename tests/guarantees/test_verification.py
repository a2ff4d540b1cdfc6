"""Partial verification on an invented fleet: corrected shares cover the truth, naive ones do not.

Devices are examined anew a hundred times, 70 % of the flagged and 3 % of the rest, and what is
found is the truth; the fleet, its readings and its verdicts stay.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from analytics.baseline import fit
from analytics.ingest.load import ingest
from analytics.policy import Policy, default_policy
from analytics.screening import screen
from analytics.statistics.calibration import logistic
from analytics.statistics.verification import Table, naive
from analytics.tuning.cells import Bools, Cells, Grid, build_candidates, load_cells
from analytics.tuning.choice import Costs, choose
from analytics.tuning.estimate import correct
from analytics.tuning.examined import load_examined
from analytics.tuning.lines import Lines
from analytics.tuning.recalibrate import _fitted
from analytics.tuning.redrawn import weigh
from analytics.warehouse import Warehouse, open_store
from synthetic_data.write import generate

FLAGGED_SEEN, REST_SEEN = 0.7, 0.03
SEEDS = 100
SCENARIO = """
name = "examined"
inspections = 1500
quarters = ["2026Q1", "2026Q2", "2026Q3"]
[[offices]]
id = "north"
share = 1.0
style = "celsius_csv"
[[makes]]
name = "Corvane"
share = 1.0
[clerical]
share = 0.0
files_twice = 0
[faults]
share = 0.03
"""


@dataclass(frozen=True)
class Fleet:
    """A screened store with the truth of every candidate in `truth`."""

    warehouse: Warehouse
    policy: Policy

    def examine(self, seed: int, grid: Grid) -> Cells:
        """Draw who is examined and count the cells; seed -1 examines all."""
        self.warehouse.execute(
            "create or replace table tuning.reading_finding as select reading_id, 0 as finding_id, "
            "'' as finding, is_faulty as is_fault, null::timestamp as found_at from truth "
            "where $seed < 0 or hash(reading_id, $seed) % 1000000 < 1e6 * "
            "case when is_flagged then $flagged else $rest end",
            {"seed": seed, "flagged": FLAGGED_SEEN, "rest": REST_SEEN},
        )
        build_candidates(self.warehouse, self.policy)
        return load_cells(self.warehouse, grid, ())


@contextmanager
def examined_fleet(folder: Path) -> Iterator[Fleet]:
    """Invent, fit and screen the fleet; its truth waits in `truth`."""
    (folder / "examined.toml").write_text(SCENARIO, encoding="utf-8")
    made = generate(folder / "examined.toml", 5, folder / "files")
    policy = default_policy()
    with open_store(folder / "fleet.duckdb") as warehouse:
        ingest(warehouse, list(made.reading_files), column_map=made.map_files[0])
        fit(warehouse)
        screen(warehouse, policy)
        warehouse.execute(
            "create table tuning.reading_finding (reading_id bigint, is_fault boolean, "
            "finding varchar, found_at timestamp)"
        )
        build_candidates(warehouse, policy)
        truth = pd.read_parquet(made.truth_file)
        warehouse.register("told", truth[["inspection_id", "panel_id", "position", "truth"]])
        warehouse.execute(
            "create temp table truth as select reading_id, is_flagged, truth <> 'healthy' as "
            "is_faulty from tuning.candidate inner join told using "
            "(inspection_id, panel_id, position)"
        )
        yield Fleet(warehouse, policy)


@pytest.fixture(scope="module")
def fleet(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Fleet]:
    with examined_fleet(tmp_path_factory.mktemp("examined")) as made:
        yield made


def only(policy: Policy) -> Grid:
    """Return a grid of the policy alone."""
    return Grid(
        (policy.flag_probability,),
        (policy.flag_heat_ratio,),
        (policy.flag_lift_k,),
        (policy.flag_load_share,),
    )


def plain(cells: Cells) -> Table:
    count, examined, faulty = cells.totals()
    sides = [
        [float(x[mask].sum()) for x in (faulty, examined - faulty, count - examined)]
        for mask in (cells.is_flagged, ~cells.is_flagged)
    ]
    return Table.of(*sides)


def covered(fleet: Fleet, seeds: range) -> tuple[int, int, int]:
    """Return in how many draws the corrected, the naive and the false-alarm interval hold."""
    grid = only(fleet.policy)
    everything = fleet.examine(-1, grid)
    truth = correct(everything, everything.is_flagged)
    assert truth.sensitivity.value == truth.naive_sensitivity
    counts = np.zeros(3, int)
    for seed in seeds:
        cells = fleet.examine(seed, grid)
        found, flattered = correct(cells, cells.is_flagged), naive(plain(cells))
        alarm = found.false_alarm_share
        counts += (
            found.sensitivity.low <= truth.sensitivity.value <= found.sensitivity.high,
            flattered.low <= truth.sensitivity.value <= flattered.high,
            alarm.low <= truth.false_alarm_share.value <= alarm.high,
        )
    corrected, uncorrected, alarms = counts.tolist()
    return corrected, uncorrected, alarms


def test_corrected_sensitivity_covers_the_truth(fleet: Fleet) -> None:
    corrected, uncorrected, alarms = covered(fleet, range(SEEDS))
    assert corrected >= 93
    assert alarms >= 93
    assert uncorrected <= 7


def true_parts(fleet: Fleet, grid: Grid) -> tuple[np.ndarray, np.ndarray, Bools]:
    """Return faults missed and visits wasted by each candidate, from the truth."""
    cells = fleet.examine(-1, grid)
    count, _, faulty = cells.totals()
    flags = cells.flagged_by(grid)
    return ~flags @ faulty, flags @ (count - faulty), flags


def cost_ratios(fleet: Fleet, costs: Costs, seeds: range) -> tuple[list[float], float]:
    """Return true cost of each recommended policy over that of the best, and that in force's [1].

    Only draws of findings that lead to a recommendation count.
    """
    grid = Grid.around(fleet.policy)
    place = grid.place(fleet.policy)
    missed, wasted, _ = true_parts(fleet, grid)
    true_cost = costs.missed * missed + costs.visit * wasted
    ratios = []
    for seed in seeds:
        weighed = weigh(fleet.examine(seed, grid), grid, Lines.of(fleet.policy))
        choice = choose(weighed, costs, quarters=3)
        if choice.is_recommended:
            ratios.append(float(true_cost[choice.pick] / true_cost.min()))
    return ratios, float(true_cost[place] / true_cost.min())


@pytest.mark.parametrize("costs", [Costs(4000, 180), Costs(20000, 150)], ids=str)
def test_what_is_recommended_is_near_the_best(fleet: Fleet, costs: Costs) -> None:
    ratios, in_force = cost_ratios(fleet, costs, range(30))
    assert len(ratios) >= 5
    assert np.mean(np.array(ratios) <= 1.10) >= 0.9
    assert np.mean(ratios) < in_force


def test_recalibrated_chances_are_nearer_to_the_truth(fleet: Fleet) -> None:
    """Fitted on the few examined, the chances of all readings come true: slope 0.66 before."""
    grid = only(fleet.policy)
    fleet.examine(-1, grid)
    every = load_examined(fleet.warehouse, fleet.policy)
    truth = every.is_fault.astype(float)
    stated, told = log_score(every.logit, truth), 0
    for seed in range(10):
        fleet.examine(seed, grid)
        found = _fitted(load_examined(fleet.warehouse, fleet.policy))
        assert found is not None
        moved = found[0].value + found[1].value * every.logit
        assert log_score(moved, truth) < 0.85 * stated
        slope = logistic(np.stack([np.ones_like(moved), moved], axis=1), truth).coefficients[1]
        assert 0.8 <= slope <= 1.25
        told += found[2].log_gain.low > 0
    assert told >= 3


def log_score(logit: np.ndarray, truth: np.ndarray) -> float:
    return float(np.mean(np.logaddexp(0.0, np.where(truth > 0, -logit, logit))))


def test_a_candidate_flags_what_the_verdict_flags(fleet: Fleet) -> None:
    grid = Grid.around(fleet.policy)
    cells = fleet.examine(0, grid)
    assert np.array_equal(cells.flagged_by(grid)[grid.place(fleet.policy)], cells.is_flagged)
    # Another policy of the grid, judged the whole way.
    other = fleet.policy.moved(flag_probability=0.1, flag_heat_ratio=1.75, flag_load_share=0.3)
    expected = cells.totals()[0][cells.flagged_by(grid)[grid.place(other)]].sum()
    assert flagged_by(fleet, other) == expected
    # And one with lines of its own for a class, which the cells know too.
    own = Lines.of(fleet.policy).with_class("afci", Lines.of(other).shared)
    is_own = cells.device_class == cells.classes.index("afci")
    flags = np.where(is_own, cells.flagged_by(grid)[grid.place(other)], cells.is_flagged)
    assert flagged_by(fleet, own.put_into(fleet.policy)) == cells.totals()[0][flags].sum()


def test_own_lines_in_force_flag_what_they_flagged(fleet: Fleet) -> None:
    """Candidates drawn from verdicts by own lines: what only those flag passes no shared line."""
    own = Lines.of(fleet.policy).with_class("afci", (0.02, 1.0, 1.0, 0.0))
    policy = own.put_into(fleet.policy)
    flagged = flagged_by(fleet, policy, is_kept=True)
    build_candidates(fleet.warehouse, policy)
    cells = load_cells(fleet.warehouse, Grid.around(policy), ())
    screen(fleet.warehouse, fleet.policy)
    weighed = weigh(cells, Grid.around(policy), Lines.of(policy))
    assert cells.totals()[0][weighed.flags[weighed.place]].sum() == flagged
    shared = weighed.flags[weighed.grid.place(policy)]
    assert not np.any(shared & ~cells.is_flagged)
    assert np.all(cells.classes.index("afci") == cells.device_class[shared != cells.is_flagged])
    assert np.any(shared != cells.is_flagged)


def flagged_by(fleet: Fleet, policy: Policy, *, is_kept: bool = False) -> int:
    """Return how many readings a policy flags, judged the whole way; the verdicts then go back."""
    summary = screen(fleet.warehouse, policy).verdict_counts
    if not is_kept:
        screen(fleet.warehouse, fleet.policy)
    return summary["suspect_connection"] + summary["overload_and_connection"]
