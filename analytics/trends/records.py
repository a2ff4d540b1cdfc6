"""What the trends are made of: quarters, subjects beside each other, signals in sentences."""

from __future__ import annotations

from dataclasses import dataclass

from analytics.notices import Notice
from analytics.statistics.proportions import Z95
from analytics.trends.behind import OTHERS as OTHERS
from analytics.trends.behind import PAST as PAST
from analytics.trends.behind import HabitShare as HabitShare
from analytics.trends.behind import Protocol as Protocol
from analytics.trends.behind import Source as Source
from analytics.trends.behind import Use as Use


def quarter_name(index: int) -> str:
    """Return the name of a quarter from its number, four times the year and its place in it.

    >>> quarter_name(8106)
    '2026Q3'
    """
    return f"{index // 4}Q{index % 4 + 1}"


def quarter_index(name: str) -> int:
    """Return the number of a quarter such as 2026Q3.

    >>> quarter_index("2026Q3")
    8106
    """
    return 4 * int(name[:4]) + int(name[5]) - 1


@dataclass(frozen=True)
class Counted:
    """A count out of a total, Wilson's 95 % ends and the limits of the chart, all [1]."""

    count: int
    total: int
    low: float
    high: float
    limit_low: float
    limit_high: float
    is_out: bool

    @property
    def share(self) -> float:
        """The share [1]; NaN without a total."""
        return self.count / self.total if self.total else float("nan")


@dataclass(frozen=True)
class QuarterShare:
    """One quarter of the firm: readings judged, flagged, over the current limit."""

    quarter: str
    judged_count: int
    flagged: Counted
    overload: Counted


CHANGE_SHARE = 0.05
"""Share of false changes among those of the firm's shares in a quarter [1]; chosen."""


@dataclass(frozen=True)
class Move:
    """A change of a share [1] with the mix of cases held, its 95 % ends and p-value.

    `q_value` [1] allows for all moves of the quarter, NaN where too little is known to test it.
    """

    measure: str
    against: str
    difference: float
    low: float
    high: float
    p_value: float
    judged_count: int
    q_value: float

    @property
    def is_change(self) -> bool:
        """Whether anything may call it a change: all moves of the quarter are allowed for."""
        return self.q_value <= CHANGE_SHARE


@dataclass(frozen=True)
class Point:
    """A subject in a quarter on its chart.

    `mean` as measured, `change` against its own past with the others' change taken off and its
    standard error, `level` against the others' middle; [K], or [1] for makes. `z` is the change in
    standard errors of a steady subject, `average` its moving average in its own, `high`, `low` the
    cumulative sums; `limit` is three of those standard errors in the unit of the change, and
    `level_limit` what a level has to exceed to be named. NaN where it cannot be told. `count`
    inspections are the quarter's, `level_count` those of the year, from `level_since` on.
    """

    subject: str
    level_name: str
    quarter: str
    count: int
    mean: float
    change: float
    change_error: float
    level: float
    level_error: float
    z: float
    average: float
    high: float
    low: float
    limit: float
    level_limit: float
    level_count: int = 0
    level_since: str = ""

    @property
    def change_ends(self) -> tuple[float, float]:
        """The 95 % ends of the change."""
        return self.change - Z95 * self.change_error, self.change + Z95 * self.change_error

    @property
    def level_ends(self) -> tuple[float, float]:
        """The 95 % ends of the level."""
        return self.level - Z95 * self.level_error, self.level + Z95 * self.level_error


@dataclass(frozen=True)
class Standing:
    """A subject over a year beside the others on the same kinds of case.

    `measure` is flagged or overload; `ratio` is found over expected [1] with its 95 % ends,
    `shrunken` the share [1] drawn to that of all by how little is known of it, with its own.
    `variance` [1] is that of the logarithm of a steady subject's rate, `limit_low` and `limit_high`
    the ratios that 998 of 1,000 steady subjects of its size stay between; NaN where fewer than one
    case was to be expected.
    """

    subject: str
    level_name: str
    quarter: str
    measure: str
    judged_count: int
    hit_count: int
    expected: float
    ratio: float
    low: float
    high: float
    shrunken: float = float("nan")
    shrunken_low: float = float("nan")
    shrunken_high: float = float("nan")
    variance: float = float("nan")
    limit_low: float = float("nan")
    limit_high: float = float("nan")


@dataclass(frozen=True)
class Pairs:
    """Devices read again in a quarter: mean change of their residual [K] and its 95 % ends.

    `worse` lists those that warmed more than repeated readings do, with its change [K].
    """

    quarter: str
    count: int
    mean_k: float
    low_k: float
    high_k: float
    worse: tuple[Worse, ...]


@dataclass(frozen=True)
class Worse:
    """A device that runs hotter for its current than at its earlier visit; q-value [1]."""

    panel_id: str
    position: int
    device_class: str
    days: int
    change_k: float
    q_value: float


@dataclass(frozen=True)
class Referral:
    """What licensed electricians found of the flagged readings of a quarter and office.

    `other_count` by others; days run from the scan to the look.
    """

    quarter: str
    office: str
    flagged_count: int
    examined_count: int
    loose_count: int
    device_count: int
    overload_count: int
    nothing_count: int
    other_count: int
    median_days: float | None
    slow_days: float | None


@dataclass(frozen=True)
class Trial:
    """One thing that was tested of one subject in one quarter.

    `size` with its 95 % ends in `unit`; `count` readings or inspections stand behind it; `chance`
    is the p-value [1] with several looks at the same thing allowed for; `since` the quarter in
    which it began as far as can be told.
    """

    subject: str
    level_name: str
    quarter: str
    measure: str
    against: str
    size: float
    low: float
    high: float
    unit: str
    count: int
    counted: str
    chance: float
    since: str
    family: str = "subjects"
    detail: str = ""


@dataclass(frozen=True)
class Signal:
    """A change or difference that chance hardly brings, in a sentence.

    `chance` is the share of false signals among signals this strong in the quarter's family [1];
    `since` is the first quarter of the span that `size` and `count` hold for. `is_new` tells that
    the test before had no such signal; else it was named first in `held_since`, and since then in
    `held_count` quarters. `brief` says who and how much.
    """

    subject: str
    level_name: str
    quarter: str
    measure: str
    against: str
    size: float
    low: float
    high: float
    unit: str
    count: int
    counted: str
    chance: float
    sureness: str
    since: str
    is_new: bool
    sentence: str
    brief: str
    held_since: str = ""
    held_count: int = 1


@dataclass(frozen=True)
class Trends:
    """Everything that the trends of a store say up to a quarter."""

    quarter: str
    quarters: tuple[QuarterShare, ...]
    moves: tuple[Move, ...]
    points: tuple[Point, ...]
    standings: tuple[Standing, ...]
    pairs: tuple[Pairs, ...]
    protocols: tuple[Protocol, ...]
    habits: tuple[HabitShare, ...]
    referrals: tuple[Referral, ...]
    signals: tuple[Signal, ...]
    tested_count: int
    notices: tuple[Notice, ...]
    uses: tuple[Use, ...] = ()
    sources: tuple[Source, ...] = ()
