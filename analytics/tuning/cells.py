"""The small table that tuning works on: readings counted by panel and by the lines they pass."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product

import numpy as np
import numpy.typing as npt

from analytics.errors import NotEnoughDataError
from analytics.history.policies import kept_policy
from analytics.policy import Policy
from analytics.statistics.sourced import Array, numbers
from analytics.tuning.lines import Four, Lines
from analytics.warehouse import Warehouse

Bools = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.int64]

MOST_DAYS = 180
"""The latest that an electrician comes after a scan, for a guess by date [d]; chosen."""
PROBABILITIES = (
    0.0001, 0.0002, 0.0005, 0.001, 0.002, 0.005, 0.01, 0.015, 0.02, 0.03, 0.05, 0.075,
    0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8,
)  # fmt: skip
HEAT_RATIOS = (1.0, 1.1, 1.2, 1.3, 1.5, 1.75, 2.0, 2.5, 3.0)
LIFTS_K = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0)
LOAD_SHARES = (0.0, 0.2, 0.3, 0.4)
"""Lines tried beside those in force: chance [1], heat ratio [1], lift [K], load of rating [1];
chosen wide enough that the best lies inside, and finer where faults are rare."""
LEAST_LIFT_K = 1.0
"""Least lift tried where no repeated scans tell how far two readings of a device lie apart [K];
chosen: half the error that cameras are sold with, 2 K."""
STRATA = ("class", "load", "office")
_DRAWN = (
    "flag_loaded_probability", "load_continuous_share", "worth_idle_share", "flag_terminal_peak_k",
    "flag_termination_rise_k", "flag_face_rise_k", "flag_wire_degc", "flag_like_lift_k",
)  # fmt: skip


@dataclass(frozen=True)
class Grid:
    """The lines tried, each rising: chance [1], heat ratio [1], lift [K], load of rating [1]."""

    probabilities: tuple[float, ...]
    heat_ratios: tuple[float, ...]
    lifts_k: tuple[float, ...]
    load_shares: tuple[float, ...]

    @classmethod
    def around(cls, policy: Policy, least_lift_k: float = LEAST_LIFT_K) -> Grid:
        """Return the usual grid with the lines of `policy` put in; no other lift is less."""

        def with_line(usual: Sequence[float], line: float) -> tuple[float, ...]:
            return tuple(sorted({*usual, line}))

        lifts = [lift for lift in LIFTS_K if lift >= least_lift_k] or [LIFTS_K[-1]]
        return cls(
            with_line(PROBABILITIES, policy.flag_probability),
            with_line(HEAT_RATIOS, policy.flag_heat_ratio),
            with_line(lifts, policy.flag_lift_k),
            with_line(LOAD_SHARES, policy.flag_load_share),
        )

    @property
    def lines(self) -> list[Four]:
        """Every candidate, (chance, heat ratio, lift, load)."""
        return list(product(self.probabilities, self.heat_ratios, self.lifts_k, self.load_shares))

    @property
    def is_at_end(self) -> Bools:
        """Whether a candidate has its chance, or its heat ratio or lift, at an end of those tried.

        Shape (candidates,). A ratio of 1 and a load of 0 are no end: none lies beyond. Nor is the
        least lift, which is the least that can be measured.
        """
        chance, ratio, lift, _ = np.array(self.lines).T
        return np.asarray(
            np.isin(chance, [self.probabilities[0], self.probabilities[-1]])
            | (ratio == self.heat_ratios[-1])
            | (lift == self.lifts_k[-1])
        )

    def place(self, policy: Policy) -> int:
        """Return where a policy whose lines for all classes are in the grid stands in `lines`."""
        return self.lines.index(Lines.of(policy).shared)


@dataclass(frozen=True)
class Cells:
    """Readings alike in stratum, class, evidence and lines passed; each array of shape (cells,).

    `stratum` and `device_class` are places in `strata` and `classes`. `rows_*` say how many of
    which panel lie in which cell, shape (rows,): panel and cell by number, readings, examined,
    faulty.
    """

    stratum: Ints
    device_class: Ints
    band: Ints
    is_flagged: Bools
    is_always: Bools
    passed: Ints
    """How many lines of each kind are passed, shape (cells, 4)."""
    strata: tuple[str, ...]
    classes: tuple[str, ...]
    rows_panel: Ints
    rows_cell: Ints
    rows_count: Array
    rows_examined: Array
    rows_faulty: Array

    @property
    def panel_count(self) -> int:
        """How many panels there are."""
        return int(self.rows_panel.max()) + 1

    @cached_property
    def band_key(self) -> Ints:
        """Number of the band of evidence of each cell, the flagged and the rest apart."""
        return _numbered(self.band, self.is_flagged)

    @cached_property
    def kind_key(self) -> Ints:
        """The same, classes apart too."""
        return _numbered(self.band, self.is_flagged, self.device_class)

    def totals(self, weight: Array | None = None) -> tuple[Array, Array, Array]:
        """Return readings, examined and faulty of each cell, panels weighed by `weight`."""
        each = np.ones(len(self.rows_cell)) if weight is None else weight[self.rows_panel]
        size = len(self.band)
        return (
            numbers(np.bincount(self.rows_cell, each * self.rows_count, size)),
            numbers(np.bincount(self.rows_cell, each * self.rows_examined, size)),
            numbers(np.bincount(self.rows_cell, each * self.rows_faulty, size)),
        )

    def flagged_by(self, grid: Grid) -> Bools:
        """Return which candidate flags which cell, shape (candidates, cells)."""
        kinds = (grid.probabilities, grid.heat_ratios, grid.lifts_k, grid.load_shares)
        places = np.array(list(product(*(range(1, len(k) + 1) for k in kinds))))
        is_passed = np.all(self.passed[None, :, :] >= places[:, None, :], axis=2)
        return np.asarray(is_passed | self.is_always[None, :])


def _numbered(*kinds: Ints | Bools) -> Ints:
    return np.unique(np.stack(kinds, axis=1), axis=0, return_inverse=True)[1].astype(np.int64)


def build_findings(warehouse: Warehouse, *, is_guess_accepted: bool) -> None:
    """Match the findings to their readings: `tuning.match` and what follows from it."""
    warehouse.build("tuning.finding")
    warehouse.build("tuning.match_candidate", most_days=MOST_DAYS)
    warehouse.build("tuning.match", is_guess_accepted=is_guess_accepted)
    warehouse.build("tuning.reading_finding")


def screened_policy(warehouse: Warehouse) -> Policy:
    """Return the policy that the verdicts in the store rest on.

    Raises NotEnoughDataError where nothing has been screened by a program that tunes.
    """
    if not warehouse.has_table("screening.terminal"):
        raise NotEnoughDataError("Nothing has been screened yet.", "Run loadrise screen first.")
    found = warehouse.fetch("select min(policy_version) from screening.result")
    if found[0][0] is None:
        raise NotEnoughDataError("The last screening had no reading.", "Ingest readings first.")
    return kept_policy(warehouse, str(found[0][0]))[0]


def build_candidates(warehouse: Warehouse, policy: Policy) -> None:
    """Lay out every reading that a policy could flag: `tuning.candidate`.

    Raises NotEnoughDataError where there is none.
    """
    lines = policy.numbers()
    drawn = {**{key: lines[key] for key in _DRAWN}, **policy.line_parameters()}
    count = warehouse.build("tuning.candidate", **drawn)
    if not count:
        raise NotEnoughDataError("No reading with a current has a verdict that a policy draws.")


def load_cells(warehouse: Warehouse, grid: Grid, strata: Sequence[str]) -> Cells:
    """Count `tuning.candidate` into cells, by the strata named (of `STRATA`)."""
    wanted = {f"by_{name}": name in strata for name in STRATA}
    lists = {name: list(values) for name, values in vars(grid).items()}
    frame = warehouse.frame("tuning.cell", **lists, **wanted)
    keys = frame.columns[1:10].tolist()
    cell, firsts = frame.groupby(keys, sort=True).ngroup(), frame.drop_duplicates(keys)
    first = firsts.sort_values(keys, ignore_index=True)
    named, stratum = np.unique(first["stratum"], return_inverse=True)
    classes, device_class = np.unique(first["device_class"], return_inverse=True)
    return Cells(
        stratum=stratum.astype(np.int64),
        device_class=device_class.astype(np.int64),
        band=first["evidence_band"].to_numpy(np.int64),
        is_flagged=first["is_flagged"].to_numpy(np.bool_),
        is_always=first["is_always"].to_numpy(np.bool_),
        passed=first[["probability_count", "ratio_count", "lift_count", "load_count"]].to_numpy(
            np.int64
        ),
        strata=tuple(named.tolist()),
        classes=tuple(classes.tolist()),
        rows_panel=np.unique(frame["panel_id"], return_inverse=True)[1].astype(np.int64),
        rows_cell=cell.to_numpy(np.int64),
        rows_count=frame["reading_count"].to_numpy(np.float64),
        rows_examined=frame["examined_count"].to_numpy(np.float64),
        rows_faulty=frame["fault_count"].to_numpy(np.float64),
    )
