"""What electricians found of a quarter's flags: by office, by make, by stated chance."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Office:
    """One row of `marts.quarter_office`: what was scanned, what of it is open, what was found.

    `days` [d] to each licensed electrician's look, in order, apart by blanks; None without any.
    """

    office: str
    panel_count: int
    reading_count: int
    flagged_count: int
    open_flagged_count: int
    open_rating_count: int
    open_continuous_count: int
    examined_count: int
    loose_count: int
    device_count: int
    overload_count: int
    nothing_count: int
    other_count: int
    days: str | None

    @property
    def waited(self) -> list[int]:
        """The days to each look [d]."""
        return [int(one) for one in (self.days or "").split()]


@dataclass(frozen=True)
class Chance:
    """One row of `marts.quarter_chance`: the examined with a stated chance from `low` [1] on.

    `expected` is the sum of their chances, `spread` the variance of the count that they expect.
    """

    low: float
    examined_count: int
    confirmed_count: int
    overload_count: int
    nothing_count: int
    expected: float
    spread: float
    confirmed_low: float
    confirmed_high: float


@dataclass(frozen=True)
class VerdictFound:
    """One row of `marts.quarter_missed`: the readings of a verdict over all quarters.

    `bare_count` of the confirmed were read without a current.
    """

    verdict: str
    is_flagged: bool
    reading_count: int
    examined_count: int
    confirmed_count: int
    bare_count: int


@dataclass(frozen=True)
class MadeFound:
    """One row of `marts.quarter_make`: the flagged readings of a make over all quarters."""

    make: str
    flagged_count: int
    examined_count: int
    confirmed_count: int
